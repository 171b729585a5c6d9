//! Which package an amplifier sits in, by its reference.

/// `U1B` is unit 1 of package `U1`; a reference without a letter is unit 0.
pub(crate) fn package_and_unit(reference: &str) -> (&str, usize) {
    let package = reference.trim_end_matches(|c: char| c.is_ascii_uppercase());
    match reference[package.len()..].bytes().next() {
        Some(letter) if !package.is_empty() => (package, usize::from(letter - b'A')),
        _ => (reference, 0),
    }
}
