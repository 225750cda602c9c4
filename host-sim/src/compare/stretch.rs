//! A stretch of the path, as `--stretch` gives it.

use crate::quantity::{self, Kind};

/// From one place of the path to another, mm from its start.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// Where it begins.
    pub from_mm: f64,
    /// Where it ends.
    pub to_mm: f64,
}

/// The whole of any path.
pub const WHOLE: Stretch = Stretch {
    from_mm: 0.0,
    to_mm: f64::INFINITY,
};

/// Reads a stretch.
pub(super) fn stretch(text: &str) -> Result<Stretch, String> {
    const FORM: &str = "write it as in \"1200 mm..1300 mm\"";
    let Some((from, to)) = text.split_once("..") else {
        return Err(format!("there is no `..` in it; {FORM}"));
    };
    let parse =
        |part| quantity::parse(part, Kind::Length).map_err(|error| format!("{error}; {FORM}"));
    let (from_mm, to_mm) = (parse(from)?, parse(to)?);
    if from_mm < 0.0 {
        return Err("a path begins at 0 mm; begin there or later".into());
    }
    if to_mm <= from_mm {
        return Err(format!("it must end after it begins; {FORM}"));
    }
    Ok(Stretch { from_mm, to_mm })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stretches_take_units_and_refuse_the_rest() {
        let inch = Stretch {
            from_mm: 25.4,
            to_mm: 300.0,
        };
        assert_eq!(stretch("1 in..300 mm"), Ok(inch));
        for (text, cause) in [
            ("1 mm", "no `..`"),
            ("1..2", "has no unit"),
            ("-1 mm..2 mm", "begins at 0 mm"),
            ("2 mm..2 mm", "end after it begins"),
            ("2 mm..1 mm", "end after it begins"),
        ] {
            let error = stretch(text).unwrap_err();
            assert!(error.contains(cause), "{text}: {error}");
        }
    }
}
