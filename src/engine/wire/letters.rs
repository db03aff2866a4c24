//! Letters of other alphabets in names, which are small letters, digits and hyphens.

/// Letters with marks as they are written without them; others part words.
const PLAIN: &[(char, &str)] = &[
    ('ä', "ae"),
    ('ö', "oe"),
    ('ü', "ue"),
    ('ß', "ss"),
    ('å', "a"),
    ('ø', "o"),
    ('æ', "ae"),
    ('á', "a"),
    ('à', "a"),
    ('â', "a"),
    ('ã', "a"),
    ('é', "e"),
    ('è', "e"),
    ('ê', "e"),
    ('ë', "e"),
    ('í', "i"),
    ('ì', "i"),
    ('î', "i"),
    ('ï', "i"),
    ('ó', "o"),
    ('ò', "o"),
    ('ô', "o"),
    ('õ', "o"),
    ('ú', "u"),
    ('ù', "u"),
    ('û', "u"),
    ('ç', "c"),
    ('ñ', "n"),
    ('ł', "l"),
    ('ś', "s"),
    ('ż', "z"),
    ('č', "c"),
    ('š', "s"),
    ('ž', "z"),
    ('ý', "y"),
    ('ř', "r"),
    ('ę', "e"),
    ('ą', "a"),
];

/// A small letter with a mark as it is written without it.
pub fn unmarked(letter: char) -> Option<&'static str> {
    PLAIN.iter().find(|(own, _)| *own == letter).map(|(_, plain)| *plain)
}
