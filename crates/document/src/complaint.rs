//! One thing that is wrong with a file.

use std::ops::Range;

use units::Misread;

/// What is wrong, without saying where: lower-case fragments without a full stop.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Objection {
    /// What was found (`the text "4x7"`).
    pub found: String,
    /// What may stand there (`a resistance such as 4k7 …`).
    pub allowed: String,
    /// What to do, as an instruction (`write 4k7`).
    pub advice: String,
}

impl Objection {
    /// From its three fragments.
    pub fn new(
        found: impl Into<String>,
        allowed: impl Into<String>,
        advice: impl Into<String>,
    ) -> Self {
        Objection {
            found: found.into(),
            allowed: allowed.into(),
            advice: advice.into(),
        }
    }

    /// The same objection at a place.
    #[must_use]
    pub fn at(self, span: Range<usize>) -> Complaint {
        Complaint {
            span,
            found: self.found,
            allowed: self.allowed,
            advice: self.advice,
        }
    }
}

impl From<Misread> for Objection {
    fn from(misread: Misread) -> Self {
        Objection::new(misread.found, misread.allowed, misread.advice)
    }
}

/// An [`Objection`] with the bytes of the file it concerns.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Complaint {
    /// Bytes of the file's text.
    pub span: Range<usize>,
    /// What was found.
    pub found: String,
    /// What may stand there.
    pub allowed: String,
    /// What to do.
    pub advice: String,
}

impl Complaint {
    /// The whole complaint in one line, without its place.
    #[must_use]
    pub fn sentence(&self) -> String {
        let Complaint {
            found,
            allowed,
            advice,
            ..
        } = self;
        format!("found {found}; allowed here: {allowed}; {advice}")
    }
}
