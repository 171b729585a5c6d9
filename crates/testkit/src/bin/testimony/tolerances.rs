//! The table of tolerances, so that both sides hold to the same.

use serde_json::{Value, json};
use testkit::tolerance;

/// Name → value, measure and reason.
pub(crate) fn all() -> Value {
    let entry = |t: &tolerance::Tolerance| {
        let body = json!({ "value": t.value, "measure": t.measure.word(), "reason": t.reason });
        (t.name.to_lowercase(), body)
    };
    Value::Object(tolerance::ALL.iter().map(entry).collect())
}
