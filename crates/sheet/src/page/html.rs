//! The one place where HTML is written: every text and attribute goes through one
//! escaping door.

use crate::svg::escape;

/// HTML in the making.
#[derive(Debug, Default)]
pub(crate) struct Html {
    out: String,
}

impl Html {
    /// An element with attributes and what is inside it.
    pub(crate) fn tag(
        &mut self,
        name: &'static str,
        attributes: &[(&'static str, &str)],
        inside: impl FnOnce(&mut Html),
    ) {
        self.open(name, attributes);
        inside(self);
        self.out.push_str("</");
        self.out.push_str(name);
        self.out.push_str(">\n");
    }

    /// An element that holds only words.
    pub(crate) fn words(&mut self, name: &'static str, class: &'static str, words: &str) {
        let attributes: &[(&'static str, &str)] = if class.is_empty() {
            &[]
        } else {
            &[("class", class)]
        };
        self.open(name, attributes);
        self.out.push_str(&escape(words));
        self.out.push_str("</");
        self.out.push_str(name);
        self.out.push_str(">\n");
    }

    /// An element without an inside.
    pub(crate) fn void(&mut self, name: &'static str, attributes: &[(&'static str, &str)]) {
        self.open(name, attributes);
        self.out.pop();
        self.out.push_str("/>\n");
    }

    /// Words within the present element.
    pub(crate) fn text(&mut self, words: &str) {
        self.out.push_str(&escape(words));
    }

    /// A drawing, already escaped by its writer.
    pub(crate) fn drawing(&mut self, drawing: &crate::Drawing) {
        self.out.push_str(&crate::svg(drawing));
    }

    /// The style sheet, which is ours and holds no user's words.
    pub(crate) fn style(&mut self, css: &'static str) {
        self.out.push_str("<style>\n");
        self.out.push_str(css);
        self.out.push_str("</style>\n");
    }

    /// What was written.
    pub(crate) fn finish(self) -> String {
        self.out
    }

    fn open(&mut self, name: &'static str, attributes: &[(&'static str, &str)]) {
        self.out.push('<');
        self.out.push_str(name);
        for (key, value) in attributes {
            self.out.push(' ');
            self.out.push_str(key);
            self.out.push_str("=\"");
            self.out.push_str(&escape(value));
            self.out.push('"');
        }
        self.out.push('>');
    }
}
