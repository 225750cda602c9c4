//! The text of one line to its words, each with its place (NIST IR 6556 §3.3: blanks mean nothing
//! outside comments, letters have no case, a word is a letter and a number).

use super::fault::{Fault, Span};
use winnow::combinator::alt;
use winnow::error::EmptyError;
use winnow::prelude::*;
use winnow::stream::LocatingSlice;
use winnow::token::{any, one_of, rest, take_till, take_while};

/// Numbers from here up are refused: no coordinate, feed or count of a router comes near.
const LARGEST: f64 = 1e9;

/// A letter with its number.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Word {
    /// ASCII, upper case.
    pub letter: u8,
    pub value: f64,
    pub span: Span,
}

impl Word {
    /// The number, where it must be more than 0; `what` it is, for the error.
    pub fn positive(&self, what: &str) -> Result<f64, Fault> {
        self.check(self.value > 0.0, what, "more than 0")
    }

    /// The number, where it must be 0 or more.
    pub fn not_negative(&self, what: &str) -> Result<f64, Fault> {
        self.check(self.value >= 0.0, what, "0 or more")
    }

    /// The number, where it must be whole, 0 or more.
    pub fn whole(&self, what: &str) -> Result<f64, Fault> {
        let good = self.value >= 0.0 && self.value.fract() == 0.0;
        self.check(good, what, "a whole number, 0 or more")
    }

    fn check(&self, good: bool, what: &str, must: &str) -> Result<f64, Fault> {
        if good {
            return Ok(self.value);
        }
        let letter = char::from(self.letter);
        Err(Fault::new(
            self.span,
            format!("{letter}, the {what}, is not {must}"),
            format!("write {letter} with a number that is {must}"),
        ))
    }
}

/// What the line is, beside its words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum LineKind {
    /// `%` and nothing else.
    Percent(Span),
    /// Words, or nothing but blanks and comments; with the `/` that marks it for block delete.
    Words { slash: Option<Span> },
}

#[derive(Clone, Copy)]
enum Token<'a> {
    Blank,
    Comment,
    /// A letter and all that may belong to its number.
    Word(char, &'a str),
    Other(char),
}

fn is_blank(c: char) -> bool {
    c == ' ' || c == '\t'
}

fn token<'a>(input: &mut LocatingSlice<&'a str>) -> Result<Token<'a>, EmptyError> {
    let number = take_while(0.., |c: char| {
        c.is_ascii_digit() || is_blank(c) || matches!(c, '.' | '+' | '-')
    });
    alt((
        (one_of(|c: char| c.is_ascii_alphabetic()), number)
            .map(|(letter, number)| Token::Word(letter, number)),
        take_while(1.., is_blank).value(Token::Blank),
        ('(', take_till(0.., ['(', ')']), ')').value(Token::Comment),
        (';', rest).value(Token::Comment),
        // Last, so that whatever the others do not know arrives here: nothing can be lost.
        any.map(Token::Other),
    ))
    .parse_next(input)
}

/// Reads the words of a line into `words`, which is cleared first.
pub(super) fn read_words(text: &str, words: &mut Vec<Word>) -> Result<LineKind, Fault> {
    words.clear();
    let mut input = LocatingSlice::new(text);
    let mut slash = None;
    let mut percent: Option<Span> = None;
    while !input.is_empty()
        && let Ok((token, range)) = token.with_span().parse_next(&mut input)
    {
        let begun = !words.is_empty() || slash.is_some();
        if let (Some(_), Token::Word(..) | Token::Other(_)) = (percent, &token) {
            return Err(Fault::new(
                range,
                "a line with `%` holds nothing else",
                "put this on a line of its own",
            ));
        }
        match token {
            Token::Blank | Token::Comment => {}
            Token::Word(letter, raw) => {
                match word(letter, raw, range.start, text[range.end..].chars().next()) {
                    Ok(word) => words.push(word),
                    // In place of the number stands what is not read at all: that is the cause.
                    Err(_) if raw.is_empty() && text[range.end..].starts_with(['#', '[']) => {
                        let c = char::from(text.as_bytes()[range.end]);
                        return Err(stray(c, text, range.end));
                    }
                    Err(fault) => return Err(fault),
                }
            }
            Token::Other('/') if !begun => slash = Some(range.into()),
            Token::Other('%') if !begun => percent = Some(range.into()),
            Token::Other(other) => return Err(stray(other, text, range.start)),
        }
    }
    Ok(match percent {
        Some(span) => LineKind::Percent(span),
        None => LineKind::Words { slash },
    })
}

/// A word from its letter at byte `at` and the raw text of its number; `next` stands behind it.
fn word(letter: char, raw: &str, at: usize, next: Option<char>) -> Result<Word, Fault> {
    let upper = letter.to_ascii_uppercase();
    let number_at = at + 1;
    let mut digits = 0_usize;
    let mut point = false;
    let mut sign = false;
    let mut end = number_at;
    let mut blanks_inside = false;
    let mut blanks_pending = false;
    for (offset, c) in raw.bytes().enumerate() {
        let here = number_at + offset;
        if is_blank(char::from(c)) {
            blanks_pending = true;
            continue;
        }
        match c {
            b'.' if point => {
                return Err(Fault::new(
                    here..here + 1,
                    format!("a second decimal point in the number of {upper}"),
                    "write one decimal point, or the letter of the next word",
                ));
            }
            b'.' => point = true,
            b'+' | b'-' if sign || point || digits > 0 => {
                return Err(Fault::new(
                    here..here + 1,
                    format!("a sign inside the number of {upper}"),
                    "a sign stands once, before the digits; expressions are not read",
                ));
            }
            b'+' | b'-' => sign = true,
            _ => digits += 1,
        }
        blanks_inside |= blanks_pending;
        blanks_pending = false;
        end = here + 1;
    }
    if digits == 0 {
        return Err(Fault::new(
            at..end,
            format!("{upper} has no number"),
            match next {
                Some('O' | 'o') => format!("is this the letter O? write the digit: {upper}0"),
                // Minus sign, en dash, hyphen: what word processors make of it.
                Some(sign @ ('\u{2212}' | '\u{2013}' | '\u{2010}')) => {
                    format!("`{sign}` is not the minus of a keyboard: write {upper}-1")
                }
                _ => format!("write a number after {upper}, as in {upper}1 or {upper}0.5"),
            },
        ));
    }
    let written = &raw[..end - number_at];
    let value = if blanks_inside {
        written.replace([' ', '\t'], "").parse::<f64>()
    } else {
        written.parse::<f64>()
    };
    match value {
        Ok(value) if value.abs() < LARGEST => Ok(Word {
            letter: upper as u8,
            value,
            span: (at..end).into(),
        }),
        _ => Err(Fault::new(
            at..end,
            format!("the number of {upper} is too large: only numbers below 1000000000 are read"),
            "check for a missing decimal point",
        )),
    }
}

/// A character that begins no word, at byte `at`.
fn stray(c: char, text: &str, at: usize) -> Fault {
    let here = at..at + c.len_utf8();
    match c {
        '(' => {
            let inside = &text[at + 1..];
            match inside.find(['(', ')']) {
                Some(nested) => Fault::new(
                    at + 1 + nested..at + 2 + nested,
                    "a `(` inside a comment",
                    "comments do not nest: end the first one before this, or use other brackets",
                ),
                None => Fault::new(
                    at..text.len(),
                    "this comment does not end on its line",
                    "close it with `)`; begin a comment of more lines anew on each",
                ),
            }
        }
        ')' => Fault::new(
            here,
            "a `)` that closes no comment",
            "remove it, or open the comment with `(`",
        ),
        '/' => Fault::new(
            here,
            "`/` after the start of the line",
            "block delete is marked with one `/` as the first character; division is not read",
        ),
        '%' => Fault::new(
            here,
            "`%` on a line with words",
            "put `%` on a line of its own",
        ),
        '#' | '=' => Fault::new(
            here,
            "parameters (`#`) are not read",
            "let the CAM program put out plain numbers",
        ),
        '[' | ']' => Fault::new(
            here,
            "expressions in `[ ]` are not read",
            "let the CAM program put out plain numbers",
        ),
        '0'..='9' | '.' | '+' | '-' => Fault::new(
            here,
            "a number without a letter before it",
            "write the letter of the word, such as X, directly before its number",
        ),
        ',' => Fault::new(
            here,
            "`,` belongs to no word",
            "write decimals with a point, as in X1.5",
        ),
        '\u{feff}' => Fault::new(
            here,
            "the file begins with a byte order mark",
            "save the program as UTF-8 without a byte order mark, or as ASCII",
        ),
        c => Fault::new(
            here,
            if c.is_ascii_graphic() {
                format!("the character `{c}` belongs to no word")
            } else {
                format!("the character `{}` belongs to no word", c.escape_debug())
            },
            "remove it; text for the reader stands in `( )` or after `;`",
        ),
    }
}
