//! Finds a component by the name on its package.

/// The name in capitals without spaces and hyphens, as it is compared.
pub(crate) fn plain(name: &str) -> String {
    name.to_uppercase()
        .chars()
        .filter(|c| !c.is_whitespace() && *c != '-')
        .map(|c| {
            if matches!(c, 'Μ' | 'µ' | 'μ') {
                'U'
            } else {
                c
            }
        })
        .collect()
}

/// The component whose name the text is, or is with package and grade letters after it
/// (`TL072CP`, `MCP6002-I/P`). A digit after the name makes another type of it.
pub(crate) fn find<T, N>(
    name: &str,
    components: impl Iterator<Item = &'static T>,
    names: impl Fn(&'static T) -> N,
) -> Option<&'static T>
where
    N: Iterator<Item = &'static str>,
{
    let wanted = plain(name);
    let rank = |known: &str| match wanted.strip_prefix(&plain(known)) {
        Some("") => Some(0),
        Some(rest) if rest.len() <= 5 && !rest.contains(|c: char| c.is_ascii_digit()) => {
            Some(rest.len())
        }
        _ => None,
    };
    components
        .filter_map(|c| Some((names(c).filter_map(rank).min()?, c)))
        .min_by_key(|(rank, _)| *rank)
        .map(|(_, c)| c)
}
