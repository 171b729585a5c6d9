//! Every citation stands in REFERENCES.md.
//!
//! A citation is a key in brackets, with or without the place: `[KEY, eq. 4.12]`. A key has at
//! least three capitals, digits and hyphens and begins with a capital; what begins with a name
//! and holds a year is taken for a citation too. It is looked for in comments, in the text of
//! the documents, and in `source` fields. The reference has a line that begins `**KEY**`, after
//! a list mark or a number perhaps.

use super::complaint::Complaint;
use super::tree::Tree;
use std::collections::BTreeSet;

const REFERENCES: &str = "REFERENCES.md";

/// Looks up every key that is cited.
pub(super) fn check(tree: &Tree) -> Vec<Complaint> {
    let known = tree.text(REFERENCES).map(known).unwrap_or_default();
    let mut complaints = Vec::new();
    for (path, text) in tree.all().filter(|(path, _)| *path != REFERENCES) {
        let Some(prose) = reader(path) else {
            continue;
        };
        for (index, line) in text.lines().enumerate() {
            for key in cited(prose(line)) {
                if !known.contains(key) {
                    let text = format!("[{key}] is not in {REFERENCES}");
                    complaints.push(Complaint::at(path, index + 1, text));
                }
            }
        }
    }
    complaints
}

/// The part of a line in which citations may stand, by kind of file.
fn reader(path: &str) -> Option<fn(&str) -> &str> {
    let ending = path.rsplit_once('.').map_or("", |(_, ending)| ending);
    match ending {
        "rs" | "js" => Some(|line| comment(line, "//")),
        "py" | "toml" => Some(|line| comment(line, "#")),
        "md" => Some(|line| line),
        _ => None,
    }
}

/// What follows the comment mark, where that does not stand inside a string; the whole line
/// where it gives a source.
fn comment<'a>(line: &'a str, mark: &str) -> &'a str {
    let trimmed = line.trim_start();
    if ["source = ", "source: "]
        .iter()
        .any(|field| trimmed.starts_with(field))
    {
        return line;
    }
    line.match_indices(mark)
        .map(|(at, _)| at)
        .find(|at| line[..*at].matches('"').count().is_multiple_of(2))
        .map_or("", |at| &line[at..])
}

/// The keys cited in a text.
fn cited(text: &str) -> impl Iterator<Item = &str> {
    text.split('[').skip(1).filter_map(|after| {
        let (inside, rest) = after.split_once(']')?;
        let end = inside.find([',', ' ', ';']).unwrap_or(inside.len());
        let key = &inside[..end];
        let is_link = rest.starts_with('(') || rest.starts_with(':');
        let looks = is_key(key) || (is_name(key) && holds_year(inside));
        (looks && !is_link).then_some(key)
    })
}

/// A word of four letters or more with a capital first.
fn is_name(word: &str) -> bool {
    word.len() >= 4
        && word.starts_with(|c: char| c.is_ascii_uppercase())
        && word.chars().all(|c| c.is_ascii_alphabetic())
}

/// Whether a year of the last or of this century stands in it.
fn holds_year(text: &str) -> bool {
    text.split(|c: char| !c.is_ascii_digit())
        .any(|number| number.len() == 4 && ["19", "20"].contains(&&number[..2]))
}

/// Capitals, digits and hyphens, three or more, a capital first, two capitals at least; `KEY`
/// itself is only ever spoken of.
fn is_key(word: &str) -> bool {
    let fits = |c: char| c.is_ascii_uppercase() || c.is_ascii_digit() || c == '-';
    word.len() >= 3
        && word != "KEY"
        && word.starts_with(|c: char| c.is_ascii_uppercase())
        && word.chars().all(fits)
        && word.chars().filter(char::is_ascii_uppercase).count() >= 2
}

/// The keys that REFERENCES.md explains.
fn known(text: &str) -> BTreeSet<&str> {
    text.lines()
        .filter_map(|line| {
            let line = line.trim_start_matches(|c: char| c.is_ascii_digit() || "-.# |".contains(c));
            line.strip_prefix("**")?.split_once("**")
        })
        .map(|(key, _)| key)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::complaint::assert_told;
    use super::super::tree::Tree;
    use super::check;

    const REFERENCES: (&str, &str) = (
        "REFERENCES.md",
        "# Sources\n- **OAFE** a book\n2. **IEC-60063** a standard\n",
    );

    #[test]
    fn known_keys_and_brackets_that_are_no_citations_pass() {
        let tree = Tree::of(&[
            REFERENCES,
            (
                "a.rs",
                "//! [OAFE, §16.5], [IEC-60063] and [`NodeId`], [Need], [0, 1], [ABC](x)\n\
                 let x = table[KEY];\n",
            ),
            ("a.toml", "source = \"[OAFE §16]\"\n[SECTION]\n"),
        ]);
        assert_told(&check(&tree), &[]);
    }

    #[test]
    fn unknown_keys_are_told_wherever_they_stand() {
        let tree = Tree::of(&[
            REFERENCES,
            ("a.md", "from [NOBODY]\n"),
            ("a.py", "x = 1  # [NOBODY, p. 3]\n"),
            ("a.rs", "\n/// [NOBODY §4]\n"),
            ("a.toml", "source = \"[NOBODY]\"\n"),
            ("b.rs", "// [Nobody, J. Nothing 3 (1973) 339]\n"),
        ]);
        let told = [
            "a.md:1: [NOBODY]",
            "a.py:1: [",
            "a.rs:2: [",
            "a.toml:1: [",
            "b.rs:1: [Nobody]",
        ];
        assert_told(&check(&tree), &told);
    }
}
