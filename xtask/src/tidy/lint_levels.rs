//! Lints are expected with a reason, never merely allowed.
//!
//! The tokens are walked rather than the syntax tree, so that attributes inside macro calls are
//! seen too.

use super::complaint::Complaint;
use super::tree::Tree;
use proc_macro2::{Delimiter, Group, TokenStream, TokenTree};
use std::str::FromStr;

/// Every `allow`, and every `expect` without a reason.
pub(super) fn check(tree: &Tree) -> Vec<Complaint> {
    let mut complaints = Vec::new();
    for (path, text) in tree.ending(".rs") {
        // What is no Rust is told by the check of sizes.
        if let Ok(tokens) = TokenStream::from_str(text) {
            walk(path, tokens, &mut complaints);
        }
    }
    complaints
}

/// Looks for `#[…]` and `#![…]` and goes into every bracket.
fn walk(path: &str, tokens: TokenStream, complaints: &mut Vec<Complaint>) {
    let mut after_hash = false;
    for token in tokens {
        match token {
            TokenTree::Punct(p) if p.as_char() == '#' => after_hash = true,
            TokenTree::Punct(p) if p.as_char() == '!' && after_hash => {}
            TokenTree::Group(group) => {
                if after_hash && group.delimiter() == Delimiter::Bracket {
                    attribute(path, &group, complaints);
                }
                walk(path, group.stream(), complaints);
                after_hash = false;
            }
            _ => after_hash = false,
        }
    }
}

/// Judges the inside of one attribute, `cfg_attr(…, allow(…))` included.
fn attribute(path: &str, group: &Group, complaints: &mut Vec<Complaint>) {
    let mut level: Option<(String, usize)> = None;
    for token in group.stream() {
        match token {
            TokenTree::Ident(word) => {
                level = Some((word.to_string(), word.span().start().line));
            }
            TokenTree::Group(inside) => match level.take() {
                Some((word, line)) if word == "allow" => complaints.push(Complaint::at(
                    path,
                    line,
                    "`allow` hides a lint for good: mend it, or `expect` it with a reason",
                )),
                Some((word, line)) if word == "expect" && !has_reason(&inside) => {
                    let text = "`expect` without `reason = \"…\"`";
                    complaints.push(Complaint::at(path, line, text));
                }
                Some((word, _)) if word == "cfg_attr" => attribute(path, &inside, complaints),
                _ => {}
            },
            _ => {}
        }
    }
}

/// Whether `reason` stands among the words.
fn has_reason(inside: &Group) -> bool {
    inside
        .stream()
        .into_iter()
        .any(|token| matches!(token, TokenTree::Ident(word) if word == "reason"))
}

#[cfg(test)]
mod tests {
    use super::super::complaint::assert_told;
    use super::super::tree::Tree;
    use super::check;

    #[test]
    fn expectations_with_reasons_pass() {
        let text = "#![expect(dead_code, reason = \"x\")]\n#[derive(Debug)]\nstruct A;\n\
            fn allow(x: u8) -> u8 { vec![allow(1)][0] + x }\n// #[allow(x)]\n";
        assert_told(&check(&Tree::of(&[("a.rs", text)])), &[]);
    }

    #[test]
    fn allows_and_expectations_without_reasons_are_told() {
        let text = "#![allow(dead_code)]\n#[allow(x, reason = \"r\")]\nfn f() {}\n\
            #[expect(clippy::x)]\nfn g() {}\n#[cfg_attr(test, allow(z))]\nfn h() {}\n\
            m! {\n  #[allow(y)]\n  fn i() {}\n}\n";
        let told = [
            "a.rs:1: `allow`",
            "a.rs:2: `allow`",
            "a.rs:4: `expect`",
            "a.rs:6: `allow`",
            "a.rs:9: `allow`",
        ];
        assert_told(&check(&Tree::of(&[("a.rs", text)])), &told);
    }
}
