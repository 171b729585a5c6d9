//! Circuit files: what is read, what is refused and in which words, what is written.

mod fuzz;
mod invented;
mod read;
mod round_trip;
mod validate;

/// The hand-written circuits, by file name.
pub(crate) const CIRCUITS: [(&str, &str); 8] = [
    (
        "buffered_mid.toml",
        include_str!("../circuits/buffered_mid.toml"),
    ),
    (
        "diode_limiter.toml",
        include_str!("../circuits/diode_limiter.toml"),
    ),
    (
        "mfb_one_stage.toml",
        include_str!("../circuits/mfb_one_stage.toml"),
    ),
    (
        "mfb_two_stages.toml",
        include_str!("../circuits/mfb_two_stages.toml"),
    ),
    (
        "passive_rc.toml",
        include_str!("../circuits/passive_rc.toml"),
    ),
    (
        "sallen_key_pair.toml",
        include_str!("../circuits/sallen_key_pair.toml"),
    ),
    (
        "state_variable.toml",
        include_str!("../circuits/state_variable.toml"),
    ),
    ("twin_t.toml", include_str!("../circuits/twin_t.toml")),
];
