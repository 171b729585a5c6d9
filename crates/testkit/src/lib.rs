//! For tests: slow, obvious judges and awkward inputs.
