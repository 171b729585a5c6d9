//! No file over 800 lines, no function over 70; over 400 and 40 there is a remark.
//!
//! A function is measured from its signature to its closing brace, its documentation not counted.

use super::complaint::Complaint;
use super::tree::Tree;
use syn::spanned::Spanned;
use syn::visit::{self, Visit};

/// Lines at which the check stops, and those from which it remarks.
const FILE: (usize, usize) = (800, 400);
const FUNCTION: (usize, usize) = (70, 40);

/// What is too long.
pub(super) fn check(tree: &Tree) -> Vec<Complaint> {
    long(tree, FILE.0, FUNCTION.0, usize::MAX)
}

/// What is long but allowed.
pub(super) fn remarks(tree: &Tree) -> Vec<Complaint> {
    long(tree, FILE.1, FUNCTION.1, FILE.0).into_iter().collect()
}

/// Files of more than `file` lines and functions of more than `function`, leaving out what the
/// stricter check tells already when `stop` is its limit for files.
fn long(tree: &Tree, file: usize, function: usize, stop: usize) -> Vec<Complaint> {
    let function_stop = if stop == usize::MAX { stop } else { FUNCTION.0 };
    let mut complaints = Vec::new();
    for ending in [".rs", ".py", ".js"] {
        for (path, text) in tree.ending(ending) {
            let lines = text.lines().count();
            if lines > file && lines <= stop {
                let text = format!("{lines} lines, {file} is the most: part it by what it does");
                complaints.push(Complaint::about(path, text));
            }
        }
    }
    for (path, text) in tree.ending(".rs") {
        let Ok(parsed) = syn::parse_file(text) else {
            complaints.push(Complaint::about(path, "does not parse as Rust"));
            continue;
        };
        let mut found = Functions::default();
        found.visit_file(&parsed);
        for (name, line, lines) in found.0 {
            if lines > function && lines <= function_stop {
                let text = format!("`{name}` has {lines} lines, {function} is the most");
                complaints.push(Complaint::at(path, line, text));
            }
        }
    }
    complaints
}

/// Every function met: name, line it begins on, lines it takes.
#[derive(Default)]
struct Functions(Vec<(String, usize, usize)>);

impl Functions {
    fn add(&mut self, signature: &syn::Signature, block: &syn::Block) {
        let begin = signature.span().start().line;
        let end = block.span().end().line;
        self.0
            .push((signature.ident.to_string(), begin, end + 1 - begin));
    }
}

impl<'ast> Visit<'ast> for Functions {
    fn visit_item_fn(&mut self, node: &'ast syn::ItemFn) {
        self.add(&node.sig, &node.block);
        visit::visit_item_fn(self, node);
    }

    fn visit_impl_item_fn(&mut self, node: &'ast syn::ImplItemFn) {
        self.add(&node.sig, &node.block);
        visit::visit_impl_item_fn(self, node);
    }

    fn visit_trait_item_fn(&mut self, node: &'ast syn::TraitItemFn) {
        if let Some(block) = &node.default {
            self.add(&node.sig, block);
        }
        visit::visit_trait_item_fn(self, node);
    }
}

#[cfg(test)]
mod tests {
    use super::super::complaint::assert_told;
    use super::super::tree::Tree;
    use super::{check, remarks};

    /// A function of that many lines.
    fn function(lines: usize) -> String {
        format!(
            "/// Doc.\nfn f() {{\n{}}}\n",
            "    g();\n".repeat(lines - 2)
        )
    }

    #[test]
    fn the_limits_themselves_pass_and_one_line_more_is_told() {
        for (lines, told) in [
            (70, vec![]),
            (71, vec!["a.rs:2: `f` has 71 lines, 70 is the most"]),
        ] {
            let text = function(lines);
            assert_told(&check(&Tree::of(&[("a.rs", &text)])), &told);
        }
        let long = "// line\n".repeat(801);
        for path in ["a.rs", "a.py"] {
            let told = format!("{path}: 801 lines, 800 is the most");
            assert_told(&check(&Tree::of(&[(path, &long)])), &[&told]);
        }
        assert_told(&check(&Tree::of(&[("a.rs", &long[8..])])), &[]);
    }

    #[test]
    fn methods_are_measured_too() {
        let text = format!(
            "impl A {{ {} }}\ntrait B {{ {} }}",
            function(80),
            function(90)
        );
        let told = ["a.rs:2: `f` has 80", "a.rs:81: `f` has 90"];
        let tree = Tree::of(&[("a.rs", &text)]);
        let found = check(&tree);
        assert_eq!(found.len(), told.len(), "{found:?}");
    }

    #[test]
    fn long_is_remarked_and_too_long_is_not_remarked_again() {
        let text = function(50);
        assert_eq!(remarks(&Tree::of(&[("a.rs", &text)])).len(), 1);
        let text = function(90);
        assert_eq!(remarks(&Tree::of(&[("a.rs", &text)])).len(), 0);
    }

    #[test]
    fn what_does_not_parse_is_told() {
        assert_told(
            &check(&Tree::of(&[("a.rs", "fn (")])),
            &["a.rs: does not parse"],
        );
    }
}
