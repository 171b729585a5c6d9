//! The word a user probably meant.

/// The candidate nearest to a word, if one is near enough to suggest.
///
/// Distance: edits (insert, delete, replace, swap neighbours; optimal string alignment)
/// without regard to case. Near enough: a third of the longer word, at least one edit;
/// or the word begins the candidate with three letters or more. Of equals the first
/// candidate wins.
#[must_use]
pub fn nearest<'c>(word: &str, candidates: impl IntoIterator<Item = &'c str>) -> Option<&'c str> {
    let word = word.to_lowercase();
    let word_len = word.chars().count();
    let measured = candidates.into_iter().filter_map(|candidate| {
        let lower = candidate.to_lowercase();
        let longer = word_len.max(lower.chars().count());
        let distance = strsim::osa_distance(&word, &lower);
        let begins = word_len >= 3 && lower.starts_with(&word);
        (distance <= (longer / 3).max(1) || begins).then_some((distance, candidate))
    });
    measured.min_by_key(|(distance, _)| *distance).map(|m| m.1)
}
