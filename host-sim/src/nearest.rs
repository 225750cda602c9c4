//! The known word that an unknown one was most likely meant to be.

/// How alike two words must be, 0 to 1, to be worth a suggestion. Chosen: a swapped or a missing
/// letter in a word of four passes, two unrelated words of the same length do not.
const LIKENESS: f64 = 0.8;

/// The word in `known` that is most like `word`, where one is like it at all. Upper and lower
/// case count as the same.
///
/// ```
/// use spokeshave_sim::nearest::nearest;
/// assert_eq!(nearest("resolutoin", ["travel", "resolution"]), Some("resolution"));
/// assert_eq!(nearest("colour", ["travel", "resolution"]), None);
/// ```
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = word.to_lowercase();
    known
        .into_iter()
        .map(|known| (strsim::jaro_winkler(&word, &known.to_lowercase()), known))
        .filter(|(likeness, _)| *likeness >= LIKENESS)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, known)| known)
}
