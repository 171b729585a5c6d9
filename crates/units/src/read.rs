//! Reads one quantity from text.
//!
//! Grammar, after trimming: `[sign] number [suffix]`, or where the quantity allows it a
//! letter in the place of the decimal point: `[sign] [digits] letter digits [unit]`. A
//! suffix is a unit word, a prefix, or both.

use std::ops::Range;

use crate::decimal::{Decimal, Fault, Run, scan};
use crate::print;
use crate::spelling::{ALL, Bare, Spelling};
use crate::{Misread, Prefix};

/// The SI value of the text.
pub(crate) fn read(text: &str, spelling: &Spelling) -> Result<f64, Misread> {
    Reader { text, spelling }.read()
}

/// The text being read and how it should be spelt.
struct Reader<'a> {
    text: &'a str,
    spelling: &'a Spelling,
}

/// How a suffix scales the number.
struct Scale {
    exponent: i32,
    prefixed: bool,
    unit: bool,
}

impl Reader<'_> {
    fn read(&self) -> Result<f64, Misread> {
        let end = self.text.trim_end().len();
        let begin = end - self.text[..end].trim_start().len();
        if begin == end {
            let advice = format!("write it like {}", self.spelling.example());
            return Err(self.misread(0..self.text.len(), "nothing", &advice));
        }
        let (negative, number_at) = self.sign(begin..end)?;
        if let Some(value) = self.leading_letter(number_at..end)? {
            return self.checked(value, negative, begin..end);
        }
        let run = scan(self.text, number_at).map_err(|(fault, span)| self.fault(&fault, span))?;
        self.refuse_capital_e(&run)?;
        let (decimal, exponent) = self.scaled(&run, end)?;
        self.checked(decimal.value(exponent), negative, begin..end)
    }

    /// Whether a minus sign begins the span, and where the number begins.
    fn sign(&self, span: Range<usize>) -> Result<(bool, usize), Misread> {
        let at = span.start;
        let Some(c) = self.text[span.clone()].chars().next() else {
            return Ok((false, at));
        };
        let after = &self.text[at + c.len_utf8()..span.end];
        let next = span.end - after.trim_start().len();
        match c {
            '+' => Ok((false, next)),
            '±' if self.spelling.symbol == "%" => Ok((false, next)),
            '-' | '\u{2212}' if self.spelling.signed => Ok((true, next)),
            '-' | '\u{2212}' => Err(self.misread(
                at..at + c.len_utf8(),
                &format!("a minus sign on {}", self.spelling.name),
                "write it without the sign",
            )),
            _ => Ok((false, at)),
        }
    }

    /// Reads `R47`, `p33`: a letter for the decimal point before any digit.
    fn leading_letter(&self, span: Range<usize>) -> Result<Option<f64>, Misread> {
        let body = &self.text[span.clone()];
        let Some(letter) = body.chars().next().filter(|_| self.spelling.letter_point) else {
            return Ok(None);
        };
        let after = span.start + letter.len_utf8();
        let digits = digit_run(&self.text[after..span.end]);
        if digits.is_empty() {
            return Ok(None);
        }
        let letter_span = span.start..after;
        let Some(exponent) = self.point_letter(letter, letter_span)? else {
            return Ok(None);
        };
        let unit = self.plain_unit(after + digits.len()..span.end)?;
        Ok(Some(pointed("0", digits).value(exponent + unit)))
    }

    /// The number with its scale, whether the letter stands for the point or behind.
    fn scaled(&self, run: &Run, end: usize) -> Result<(Decimal, i32), Misread> {
        let rest = &self.text[run.span.end..end];
        if let Some(letter) = rest
            .chars()
            .next()
            .filter(|_| run.whole && self.spelling.letter_point)
        {
            let after = run.span.end + letter.len_utf8();
            let digits = digit_run(&self.text[after..end]);
            let letter_span = run.span.end..after;
            if !digits.is_empty()
                && let Some(exponent) = self.point_letter(letter, letter_span)?
            {
                let unit = self.plain_unit(after + digits.len()..end)?;
                return Ok((pointed(&run.decimal.digits, digits), exponent + unit));
            }
        }
        let scale = self.suffix(run.span.end..end)?;
        self.refuse_bare(run, &scale, end)?;
        Ok((run.decimal.clone(), scale.exponent))
    }

    /// The power of ten of a letter in the place of the point.
    fn point_letter(&self, letter: char, span: Range<usize>) -> Result<Option<i32>, Misread> {
        let upper = letter.to_ascii_uppercase();
        let ohm_sign = matches!(letter, 'Ω' | '\u{2126}') && self.spelling.symbol == "Ω";
        if self.spelling.point_letter == Some(upper) || ohm_sign {
            return Ok(Some(0));
        }
        match Prefix::of_letter(letter) {
            Some(prefix) => self.permitted(prefix, span).map(|p| Some(p.exponent())),
            None => Ok(None),
        }
    }

    /// An optional unit word without prefix.
    fn plain_unit(&self, span: Range<usize>) -> Result<i32, Misread> {
        let span = self.trimmed(span);
        let word = self.text[span.clone()].to_lowercase();
        if word.is_empty() {
            return Ok(0);
        }
        self.spelling.unit(&word).ok_or_else(|| self.unknown(span))
    }

    /// A unit word, a prefix, or a prefix and a unit word.
    fn suffix(&self, span: Range<usize>) -> Result<Scale, Misread> {
        let span = self.trimmed(span);
        let suffix = &self.text[span.clone()];
        let lower = suffix.to_lowercase();
        if suffix.is_empty() {
            return Ok(Scale {
                exponent: 0,
                prefixed: false,
                unit: false,
            });
        }
        if let Some(exponent) = self.spelling.unit(&lower) {
            return Ok(Scale {
                exponent,
                prefixed: false,
                unit: true,
            });
        }
        let Some((prefix, prefix_len, unit)) = self.spelling.split(suffix) else {
            return Err(self.unknown(span));
        };
        let prefix = self.permitted(prefix, span.start..span.start + prefix_len)?;
        Ok(Scale {
            exponent: prefix.exponent() + unit.unwrap_or(0),
            prefixed: true,
            unit: unit.is_some(),
        })
    }

    /// Refuses a prefix that the quantity does not take, naming the likely one.
    fn permitted(&self, prefix: Prefix, span: Range<usize>) -> Result<Prefix, Misread> {
        if self.spelling.prefixes.contains(&prefix) {
            return Ok(prefix);
        }
        let letter = &self.text[span.clone()];
        let found = format!(
            "the prefix \"{letter}\" ({}) on {}",
            prefix.word(),
            self.spelling.name
        );
        let symbol = self.spelling.symbol;
        let number = self.number_around(&span);
        let advice = match self.likely(prefix) {
            Some(likely) => format!(
                "m is milli and M is mega: write {number} {}{symbol} if you mean {}",
                likely.symbol(),
                likely.word(),
            ),
            None => format!("write it like {}", self.spelling.example()),
        };
        Err(self.misread(span, &found, &advice))
    }

    /// The permitted prefix that is confused with this one: `m` for `M` and back, and
    /// `M` of the old `MFD` for micro.
    fn likely(&self, prefix: Prefix) -> Option<Prefix> {
        let wanted = match (prefix, self.spelling.symbol) {
            (Prefix::Mega, "F") => Prefix::Micro,
            (Prefix::Mega, _) => Prefix::Milli,
            (Prefix::Milli, _) => Prefix::Mega,
            _ => return None,
        };
        self.spelling.prefixes.contains(&wanted).then_some(wanted)
    }

    /// The digits around a letter, as a number to suggest.
    fn number_around(&self, letter: &Range<usize>) -> String {
        let before = self.text[..letter.start].trim();
        let after = digit_run(&self.text[letter.end..]);
        let whole = if before.is_empty() { "0" } else { before };
        if after.is_empty() {
            whole.to_owned()
        } else {
            format!("{whole}.{after}")
        }
    }

    fn refuse_bare(&self, run: &Run, scale: &Scale, end: usize) -> Result<(), Misread> {
        let enough = match self.spelling.bare {
            Bare::Taken => true,
            Bare::NeedsPrefix => scale.prefixed || scale.unit,
            Bare::NeedsUnit => scale.unit,
        };
        let zero = run.decimal.digits.bytes().all(|b| b == b'0') && !scale.prefixed;
        if enough || zero {
            return Ok(());
        }
        let number = &self.text[run.span.clone()];
        let found = match scale.prefixed {
            true => format!(
                "a prefix without a unit, \"{}\"",
                &self.text[run.span.start..end]
            ),
            false => format!("the bare number {number}"),
        };
        Err(self.misread(run.span.start..end, &found, &self.bare_advice(run)))
    }

    /// What a bare number could have meant.
    fn bare_advice(&self, run: &Run) -> String {
        let number = &self.text[run.span.clone()];
        let digits = &run.decimal.digits;
        let symbol = self.spelling.symbol;
        if symbol == "F" && run.whole && digits.len() == 3 && digits.as_bytes()[2] <= b'6' {
            let marked =
                pointed(&digits[..2], "").value(i32::from(digits.as_bytes()[2] - b'0') - 12);
            return format!(
                "write {number} pF or {number} nF; a capacitor marked {number} is {}",
                print::exact(marked, self.spelling)
            );
        }
        let prefixed = |p: &Prefix| format!("{number} {}{symbol}", p.symbol());
        let choices: Vec<String> = self.spelling.usual.iter().map(prefixed).collect();
        format!("write the unit: {}", choices.join(" or "))
    }

    /// `4E7` is 40 million to a computer and 4.7 Ω on some schematics.
    fn refuse_capital_e(&self, run: &Run) -> Result<(), Misread> {
        let Some(at) = run.capital_e.filter(|_| self.spelling.symbol == "Ω") else {
            return Ok(());
        };
        let whole = &self.text[run.span.start..at];
        let digits = &self.text[at + 1..run.span.end];
        Err(self.misread(
            at..at + 1,
            "a capital E, which some write for the ohm and some for a power of ten",
            &format!(
                "write {whole}R{digits} for the decimal point, or {whole}e{digits} for the power"
            ),
        ))
    }

    /// Holds the value to the quantity's range.
    fn checked(&self, magnitude: f64, negative: bool, span: Range<usize>) -> Result<f64, Misread> {
        let (least, most) = (self.spelling.least, self.spelling.most);
        if magnitude == 0.0 {
            return Ok(0.0);
        }
        if magnitude.is_finite() && (least..=most).contains(&magnitude) {
            return Ok(if negative { -magnitude } else { magnitude });
        }
        let limit = |v: f64| print::exact(v, self.spelling);
        let (side, advice) = if magnitude < least {
            (
                "small",
                format!("the least that is taken is {}", limit(least)),
            )
        } else {
            (
                "great",
                format!("the most that is taken is {}", limit(most)),
            )
        };
        let found = format!("{} that is too {side} to be meant", self.spelling.name);
        Err(self.misread(span, &found, &format!("{advice}: check the prefix")))
    }

    fn fault(&self, fault: &Fault, span: Range<usize>) -> Misread {
        match fault {
            Fault::NoDigits => {
                let end = self.text.trim_end().len();
                let found = format!(
                    "\"{}\", which does not begin with a number",
                    self.text.trim()
                );
                let advice = format!("write it like {}", self.spelling.example());
                self.misread(span.start..end, &found, &advice)
            }
            Fault::AmbiguousComma(point, thousands) => self.misread(
                span,
                "a comma before exactly three digits",
                &format!("write {point} or {thousands}, whichever is meant"),
            ),
            Fault::ManyDecimalSigns(plain) => self.misread(
                span,
                "more than one decimal sign",
                &format!("write it without separators, {plain} if that is meant"),
            ),
            Fault::Grouping => self.misread(
                span,
                "digits grouped otherwise than in threes",
                "write the number without spaces",
            ),
        }
    }

    /// A suffix nobody knows, or one of another quantity.
    fn unknown(&self, span: Range<usize>) -> Misread {
        let suffix = self.text[span.clone()].to_owned();
        let other = ALL
            .iter()
            .find(|other| other.symbol != self.spelling.symbol && other.names(&suffix));
        let number = self.text[..span.start].trim();
        let (found, advice) = match (suffix.to_lowercase().as_str(), other) {
            ("mfd" | "uf d" | "mfd.", _) if self.spelling.symbol == "F" => (
                format!("\"{suffix}\", the old writing for microfarad"),
                format!("write {number} µF"),
            ),
            ("mmf" | "mmfd" | "uuf" | "µµf", _) if self.spelling.symbol == "F" => (
                format!("\"{suffix}\", the old writing for picofarad"),
                format!("write {number} pF"),
            ),
            ("e", _) if self.spelling.symbol == "Ω" => (
                "a capital E, which some write for the ohm".to_owned(),
                format!("write {number}R"),
            ),
            (_, Some(other)) => (
                format!("{} (\"{suffix}\")", other.name),
                format!(
                    "give {}, like {}",
                    self.spelling.name,
                    self.spelling.example()
                ),
            ),
            _ => (
                format!("\"{suffix}\" after the number"),
                format!("write it like {}", self.spelling.example()),
            ),
        };
        self.misread(span, &found, &advice)
    }

    fn misread(&self, span: Range<usize>, found: &str, advice: &str) -> Misread {
        Misread {
            text: self.text.to_owned(),
            span,
            found: found.to_owned(),
            allowed: self.spelling.allowed(),
            advice: advice.to_owned(),
        }
    }

    /// The span without white space at its ends.
    fn trimmed(&self, span: Range<usize>) -> Range<usize> {
        let piece = &self.text[span.clone()];
        let begin = span.end - piece.trim_start().len();
        begin..begin + self.text[begin..span.end].trim_end().len()
    }
}

/// The ASCII digits a text begins with.
fn digit_run(text: &str) -> &str {
    let end = text.bytes().take_while(u8::is_ascii_digit).count();
    &text[..end]
}

/// The number `whole.fraction`.
fn pointed(whole: &str, fraction: &str) -> Decimal {
    Decimal {
        negative: false,
        digits: format!("{whole}{fraction}"),
        exponent: -i64::try_from(fraction.len()).unwrap_or(i64::MAX),
    }
}
