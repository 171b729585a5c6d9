//! What a getter of a table found under one key.

use std::ops::Range;

use units::Quantity;

use crate::{Objection, Table};

/// A value with the bytes it stands in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spanned<T> {
    /// The value.
    pub value: T,
    /// Its bytes in the file's text.
    pub span: Range<usize>,
}

/// What was found under a key.
enum State<T> {
    /// The key is not there.
    Absent,
    /// What is there was complained of already.
    Refused,
    /// A fit value.
    Given(Spanned<T>),
}

/// The value under one key: there, not there, or unfit (and complained of already).
///
/// It does nothing until it is told what an absent key means.
#[must_use = "say whether it is required() or optional()"]
pub struct Entry<'a, T> {
    table: Table<'a>,
    key: String,
    state: State<T>,
}

impl<'a, T> Entry<'a, T> {
    pub(crate) fn absent(table: Table<'a>, key: &str) -> Self {
        let state = State::Absent;
        let key = key.to_owned();
        Entry { table, key, state }
    }

    pub(crate) fn refused(table: Table<'a>, key: &str) -> Self {
        let state = State::Refused;
        let key = key.to_owned();
        Entry { table, key, state }
    }

    pub(crate) fn given(table: Table<'a>, key: &str, value: T, span: Range<usize>) -> Self {
        let state = State::Given(Spanned { value, span });
        let key = key.to_owned();
        Entry { table, key, state }
    }

    /// The value; a missing key is complained of. `None` after any complaint.
    pub fn required(self) -> Option<T> {
        self.required_as("a value")
    }

    /// As [`Entry::required`], saying what should stand there (`a node's name`).
    pub fn required_as(self, what: &str) -> Option<T> {
        if matches!(self.state, State::Absent) {
            self.table.missing(&self.key, what);
        }
        self.optional()
    }

    /// The value if there is a fit one.
    pub fn optional(self) -> Option<T> {
        self.spanned().map(|s| s.value)
    }

    /// The value, or the one given when the key is absent (or unfit, which has been
    /// complained of).
    pub fn or(self, default: T) -> T {
        self.optional().unwrap_or(default)
    }

    /// The value with its bytes if there is a fit one.
    pub fn spanned(self) -> Option<Spanned<T>> {
        match self.state {
            State::Given(spanned) => Some(spanned),
            State::Absent | State::Refused => None,
        }
    }

    /// Whether the key is there, fit or not.
    #[must_use]
    pub fn is_present(&self) -> bool {
        !matches!(self.state, State::Absent)
    }

    /// The value put through a function.
    pub fn map<U>(self, f: impl FnOnce(T) -> U) -> Entry<'a, U> {
        self.refine(|value| Ok(f(value)))
    }

    /// The value put through a function that may object; the objection is noted at the
    /// value's bytes.
    pub fn refine<U>(self, f: impl FnOnce(T) -> Result<U, Objection>) -> Entry<'a, U> {
        let Entry { table, key, state } = self;
        let state = match state {
            State::Absent => State::Absent,
            State::Refused => State::Refused,
            State::Given(Spanned { value, span }) => match f(value) {
                Ok(value) => State::Given(Spanned { value, span }),
                Err(objection) => {
                    table.complain_at(span, objection);
                    State::Refused
                }
            },
        };
        Entry { table, key, state }
    }
}

impl<'a, Q: Quantity> Entry<'a, Q> {
    /// Refuses zero and negative values.
    pub fn positive(self) -> Entry<'a, Q> {
        self.refine(|value| match value.si() > 0.0 {
            true => Ok(value),
            false => Err(Objection::new(
                value.to_string(),
                format!("{} above zero", Q::NAME),
                format!("write it like {}", Q::SPELLING.example()),
            )),
        })
    }

    /// Refuses values outside `least ..= most`.
    pub fn within(self, least: Q, most: Q) -> Entry<'a, Q> {
        self.refine(|value| match value >= least && value <= most {
            true => Ok(value),
            false => Err(Objection::new(
                value.to_string(),
                format!("{least} to {most}"),
                "write one in that range; a missing or wrong prefix is a thousandfold",
            )),
        })
    }
}
