//! What the circuit does in time, step by step, with nothing linearised unless asked.
//!
//! This is the slow and honest route: the equations of [`crate::dc`] with their storage
//! terms, followed with a fixed small step from the point of rest. It shares no code with
//! the AC sweep or the poles, so it can judge them; and it is the only route that knows
//! slew, swing, current limit and diodes.

mod drive;
mod envelope;
mod request;
mod simulate;
mod stepper;
mod trace;
mod watch;

pub use drive::Drive;
pub use envelope::{Envelope, Key, keyed_envelope};
pub use request::{Mode, Request};
pub use simulate::simulate;
pub use trace::{Limit, Overrun, Trace};
