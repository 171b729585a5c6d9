//! A part after its swap: what stood in the file about the old piece and is true of the new one
//! no longer.
//!
//! A piece from the drawer brings its tolerance and its dielectric; a measured one keeps what the
//! meter leaves, and a note says which piece it is. What is bought in place of a measured piece
//! keeps the usual tolerance, not the meter's.

use circuit::{Element, Part};
use filter::values::METER;
use parts::DrawerPart;
use units::{Quantity, Ratio};

/// Tolerances that are usual for resistors and capacitors of a filter: those a need has that
/// states none (common practice).
pub(crate) const USUAL: (Ratio, Ratio) = (Ratio(0.01), Ratio(0.05));

/// The usual tolerance of a kind of part.
fn usual(element: &Element) -> Ratio {
    match element {
        Element::Capacitor { .. } => USUAL.1,
        _ => USUAL.0,
    }
}

/// What becomes of a key of a part in the file.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Fact {
    /// It stays as it is.
    Stays,
    /// It is taken out.
    Gone,
    /// It is this from now on.
    Is(String),
}

impl Fact {
    fn of(old: Option<String>, new: Option<String>) -> Self {
        match new {
            same if same == old => Fact::Stays,
            Some(new) => Fact::Is(new),
            None => Fact::Gone,
        }
    }
}

/// One part of the file changed.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Change {
    /// Its index.
    pub(crate) part: usize,
    /// Its value as written.
    pub(crate) value: String,
    /// By key, in the order in which they stand after the value.
    pub(crate) facts: [(&'static str, Fact); 3],
}

impl Change {
    /// From a part to what it is swapped for.
    pub(crate) fn new(index: usize, value: String, old: &Part, new: &Part) -> Self {
        let tolerance = |part: &Part| part.tolerance.map(written);
        let fact = |read: &dyn Fn(&Part) -> Option<String>| Fact::of(read(old), read(new));
        Change {
            part: index,
            value,
            facts: [
                ("dielectric", fact(&dielectric)),
                ("tolerance", fact(&tolerance)),
                ("note", fact(&|part: &Part| part.note.clone())),
            ],
        }
    }
}

fn dielectric(part: &Part) -> Option<String> {
    match &part.element {
        Element::Capacitor { dielectric, .. } => Some(dielectric.word().to_owned()),
        _ => None,
    }
}

/// A value in the fewest digits that read back to the same number.
pub(crate) fn written<Q: Quantity>(value: Q) -> String {
    let short = value.short();
    let reads_back = Q::parse(&short).is_ok_and(|v| (v.si() / value.si() - 1.0).abs() < 1e-9);
    if reads_back { short } else { value.exact() }
}

/// Makes a part, its value apart, the piece that is soldered in: one of this row of the drawer, or
/// one that is bought.
pub(crate) fn refit(part: &mut Part, row: Option<&DrawerPart>) {
    let note = part.note.take();
    if part.tolerance.is_some() && note.as_deref().is_some_and(is_measured) {
        part.tolerance = Some(usual(&part.element));
    }
    let mut words: Vec<String> = note.as_deref().map(lasting).unwrap_or_default();
    if let Some(row) = row {
        if let (Element::Capacitor { dielectric, .. }, Some(has)) =
            (&mut part.element, row.item.dielectric())
        {
            *dielectric = has;
        }
        part.tolerance = match row.item.measured() {
            Some(_) => Some(METER),
            None => row.tolerance.or(part.tolerance),
        };
        words.extend(row.which_piece());
    }
    part.note = (!words.is_empty()).then(|| words.join("; "));
}

fn is_measured(note: &str) -> bool {
    note.contains("measured")
}

/// What of a note does not speak of the piece that goes.
fn lasting(note: &str) -> Vec<String> {
    // Which piece it was stands last, and the user's own words in it may hold anything.
    let piece = note.find("marked ").filter(|_| is_measured(note));
    let known = piece.map_or(note, |k| &note[..k]);
    let all = known.split(';').map(str::trim);
    all.filter(|words| !words.is_empty() && *words != "to buy" && !is_measured(words))
        .map(str::to_owned)
        .collect()
}

/// How the new piece differs from the old one but for its value: which it is, or of what make.
pub(crate) fn told(old: &Part, new: &Part, row: Option<&DrawerPart>) -> Option<String> {
    if let Some(piece) = row.and_then(DrawerPart::which_piece) {
        return Some(piece);
    }
    let (was, is) = (dielectric(old), dielectric(new));
    if (old.tolerance, &was) == (new.tolerance, &is) {
        return None;
    }
    let tolerance = new.tolerance.map(written);
    let words: Vec<String> = tolerance.into_iter().chain(is).collect();
    (!words.is_empty()).then(|| words.join(" "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use circuit::NodeId;
    use parts::{Dielectric, Drawer};
    use units::Farads;

    fn capacitor(tolerance: f64, note: Option<&str>) -> Part {
        let element = Element::Capacitor {
            value: Farads(22e-9),
            dielectric: Dielectric::Film,
            between: [NodeId::GROUND; 2],
        };
        Part {
            tolerance: Some(Ratio(tolerance)),
            note: note.map(str::to_owned),
            ..Part::new("C1", element)
        }
    }

    /// Contract: nothing that was said of the old piece stands by the new one; what a measured one
    /// kept is not promised of one that is bought.
    #[test]
    fn a_bought_part_forgets_the_piece() {
        let piece = "marked 22 nF, measured 21.4 nF, J; fat (line 41 of the drawer)";
        let joint = format!("in parallel with C2, in one place; {piece}");
        for (tolerance, note, keeps, left) in [
            (0.01, Some(piece), 0.05, None),
            (
                0.01,
                Some(joint.as_str()),
                0.05,
                Some("in parallel with C2, in one place"),
            ),
            (0.1, Some("to buy"), 0.1, None),
            (0.01, Some("behind the fuse"), 0.01, Some("behind the fuse")),
            (0.02, None, 0.02, None),
        ] {
            let mut part = capacitor(tolerance, note);
            refit(&mut part, None);
            assert_eq!(part.tolerance, Some(Ratio(keeps)), "{note:?}");
            assert_eq!(part.note.as_deref(), left, "{note:?}");
        }
    }

    /// Contract: a part from the drawer is what its row says, and a measured one is named.
    #[test]
    fn a_part_from_the_drawer_is_its_row() {
        let text = "kind,value,tolerance,dielectric,quantity,measured,note\n\
            capacitor,22n,10 %,polyester,1,22.6n,H\ncapacitor,1n,2 %,c0g,9,,\n\
            capacitor,1n,,c0g,9,,\n";
        let rows = Drawer::read("d.csv", text).unwrap().parts;
        let refitted = |row: usize| {
            let old = capacitor(0.05, Some("to buy"));
            let mut new = old.clone();
            refit(&mut new, Some(&rows[row]));
            let words = told(&old, &new, Some(&rows[row]));
            (dielectric(&new).unwrap(), new.tolerance, new.note, words)
        };
        let piece = Some("marked 22 nF, measured 22.6 nF, H (line 2 of the drawer)".to_owned());
        assert_eq!(
            refitted(0),
            ("polyester".into(), Some(METER), piece.clone(), piece)
        );
        let words = |w: &str| Some(w.to_owned());
        assert_eq!(
            refitted(1),
            ("c0g".into(), Some(Ratio(0.02)), None, words("2 % c0g"))
        );
        assert_eq!(
            refitted(2),
            ("c0g".into(), Some(Ratio(0.05)), None, words("5 % c0g"))
        );
    }
}
