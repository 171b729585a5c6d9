//! Plain-text files a user keeps, read so that every complaint points at its line.
//!
//! [`Document::parse`] takes a file's name and text; [`Document::read`] checks the
//! format line and hands the root [`Table`] to a closure. A table's getters return an
//! [`Entry`], which is `required`, `optional` or has a value to fall back on. Whatever
//! is wrong (a missing key, a wrong type, an unreadable value, a key nobody asked for)
//! becomes a [`Complaint`] with its bytes, and all of them come back together as
//! [`Complaints`].
//!
//! ```
//! use document::Document;
//! use units::{Ohms, Quantity, Ratio};
//!
//! let text = "format = \"narrows circuit 1\"\n\
//!             [[part]]\nref = \"R1\"\nvalue = \"4k7\"\n";
//! let document = Document::parse("circuit.toml", text).unwrap();
//! let parts = document
//!     .read("narrows circuit", 1, |root| {
//!         let mut parts = Vec::new();
//!         for part in root.tables("part").required()? {
//!             // Ask for every key first, then give up on the part if one was unfit.
//!             let reference = part.text("ref").required();
//!             let value = part.quantity::<Ohms>("value").positive().required();
//!             let tolerance = part.quantity::<Ratio>("tolerance").or(Ratio(0.05));
//!             parts.push((reference?.to_owned(), value?, tolerance));
//!         }
//!         Some(parts)
//!     })
//!     .unwrap();
//! assert_eq!(parts, [("R1".to_owned(), Ohms(4700.0), Ratio(0.05))]);
//!
//! let slip = Document::parse("circuit.toml", &text.replace("value", "vaule")).unwrap();
//! let complaints = slip
//!     .read("narrows circuit", 1, |root| {
//!         let part = *root.tables("part").required()?.first()?;
//!         part.text("ref").required()?;
//!         part.quantity::<Ohms>("value").required()
//!     })
//!     .unwrap_err();
//! assert_eq!(
//!     complaints.to_string(),
//!     "circuit.toml:4:1: found the unknown key \"vaule\"; allowed here: ref, value; \
//!      write value"
//! );
//! ```
//!
//! [`Document::set_text`] replaces one value in place, [`Document::add_text`] adds one and
//! [`Document::take_out`] takes one out; every other byte stays as the user wrote it.

mod complaint;
mod complaints;
mod document;
mod edit;
mod entry;
mod format;
mod nearest;
mod notes;
mod syntax;
mod table;
mod values;

pub use complaint::{Complaint, Objection};
pub use complaints::Complaints;
pub use document::Document;
pub use edit::{NoSuchPlace, Step};
pub use entry::{Entry, Spanned};
pub use nearest::nearest;
pub use table::Table;
