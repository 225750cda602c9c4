//! Quantities: their values, and the part of the text that is wrong.

use spokeshave_sim::quantity::{Kind, money, parse};

#[test]
fn values() {
    let table: &[(&str, Kind, f64)] = &[
        ("0.02 mm", Kind::Length, 0.02),
        ("20 um", Kind::Length, 0.02),
        ("20 µm", Kind::Length, 0.02),
        // The Greek letter instead of the micro sign.
        ("20 \u{3bc}m", Kind::Length, 0.02),
        ("-1.5 cm", Kind::Length, -15.0),
        ("0.6m", Kind::Length, 600.0),
        ("  .5   in ", Kind::Length, 12.7),
        ("5. mm", Kind::Length, 5.0),
        ("6 m/min", Kind::Speed, 100.0),
        ("6000 mm/min", Kind::Speed, 100.0),
        ("0.1 m/s", Kind::Speed, 100.0),
        ("+100 mm/s", Kind::Speed, 100.0),
        ("300 in/min", Kind::Speed, 127.0),
        ("2 in/s", Kind::Speed, 50.8),
        ("0.5 m/s^2", Kind::Acceleration, 500.0),
        ("0.5 m/s²", Kind::Acceleration, 500.0),
        ("20 in/s^2", Kind::Acceleration, 508.0),
        // Standard gravity, 3rd CGPM 1901: 9.80665 m/s².
        ("1 g", Kind::Acceleration, 9806.65),
        ("80 steps/mm", Kind::Resolution, 80.0),
        ("2032 steps/in", Kind::Resolution, 80.0),
        ("2 us", Kind::Time, 2e-6),
        ("2 µs", Kind::Time, 2e-6),
        ("5 ms", Kind::Time, 5e-3),
        ("250 ns", Kind::Time, 250e-9),
        ("1e-6 s", Kind::Time, 1e-6),
        ("90 s", Kind::Duration, 90.0),
        ("25min", Kind::Duration, 1500.0),
        ("1.5 h", Kind::Duration, 5400.0),
        ("1 year", Kind::Years, 1.0),
        ("2.5 years", Kind::Years, 2.5),
        ("1 MHz", Kind::Frequency, 1e6),
        ("8.4e1 MHz", Kind::Frequency, 84e6),
        ("71.999999 kHz", Kind::Frequency, 71_999.999),
        ("16000000 Hz", Kind::Frequency, 16e6),
    ];
    for &(text, kind, value) in table {
        assert_eq!(parse(text, kind), Ok(value), "{text}");
    }
}

#[test]
fn decimal_quantities_are_the_nearest_number_to_what_is_written() {
    // A product of 0.000003 and a million, or 4.35 and a thousand, would miss it by a rounding.
    for micro in 1..2000_u32 {
        let text = format!("{micro} us");
        let nearest: f64 = format!("{micro}e-6").parse().unwrap();
        assert_eq!(parse(&text, Kind::Time), Ok(nearest), "{text}");
        let text = format!("{}.{:03} MHz", micro / 1000, micro % 1000);
        assert_eq!(
            parse(&text, Kind::Frequency),
            Ok(f64::from(micro) * 1e3),
            "{text}"
        );
    }
}

#[test]
#[rustfmt::skip] // One case a line.
fn refused_with_the_part_that_is_wrong() {
    let table: &[(&str, Kind, &str, &str, &str)] = &[
        // text, kind, wrong part, in the cause, in the remedy
        ("", Kind::Length, "", "nothing is written", "0.02 mm"),
        ("   ", Kind::Length, "   ", "nothing is written", "0.02 mm"),
        ("8", Kind::Speed, "8", "has no unit", "8 m/min"),
        (" -8.5e3 ", Kind::Speed, "-8.5e3", "has no unit", "8 m/min"),
        ("m/min", Kind::Speed, "m/min", "not a number", "digits"),
        ("fast m/min", Kind::Speed, "fast", "not a number", "digits"),
        ("1,000 mm", Kind::Length, "1,000", "not a number", "thousands"),
        ("1 000 mm", Kind::Length, "1 000", "not a number", "thousands"),
        ("1_000 mm", Kind::Length, "1_000", "not a number", "thousands"),
        ("1/4 in", Kind::Length, "1/4", "not a number", "decimals"),
        ("1.2.3 mm", Kind::Length, "1.2.3", "not a number", "digits"),
        ("--5 mm", Kind::Length, "--5", "not a number", "digits"),
        ("−5 mm", Kind::Length, "−5", "not a number", "digits"),
        ("0x10 mm", Kind::Length, "x10 mm", "unknown unit", "the units are mm"),
        ("nan mm", Kind::Length, "nan", "not a finite number", "0.02 mm"),
        ("-inf mm", Kind::Length, "-inf", "not a finite number", "0.02 mm"),
        ("Infinity mm", Kind::Length, "Infinity", "not a finite number", "0.02 mm"),
        ("1e999 mm", Kind::Length, "1e999", "larger than any number", "0.02 mm"),
        ("1e99999999999999999999 mm", Kind::Length, "1e99999999999999999999", "larger", "0.02"),
        ("8 m/s", Kind::Acceleration, "m/s", "is a speed, but an acceleration", "mm/s^2"),
        ("500 mm/s^2", Kind::Speed, "mm/s^2", "is an acceleration, but a speed", "m/min"),
        ("1 us", Kind::Frequency, "us", "is a time, but a frequency", "MHz"),
        ("80 mm", Kind::Resolution, "mm", "is a length, but a resolution", "steps/in"),
        ("8 m/mim", Kind::Speed, "m/mim", "unknown unit", "did you mean `m/min`"),
        ("1 mhz", Kind::Frequency, "mhz", "unknown unit", "did you mean `MHz`"),
        ("80 step/mm", Kind::Resolution, "step/mm", "unknown unit", "did you mean `steps/mm`"),
        ("2 parsec", Kind::Length, "parsec", "unknown unit", "the units are mm"),
    ];
    for &(text, kind, part, cause, remedy) in table {
        let error = parse(text, kind).unwrap_err();
        assert_eq!(&text[error.span.clone()], part, "{text}: {error:?}");
        assert!(error.cause.contains(cause), "{text}: {error:?}");
        assert!(error.remedy.contains(remedy), "{text}: {error:?}");
    }
}

#[test]
fn money_carries_the_word_of_its_currency() {
    for (text, currency, an_hour, value) in [
        ("900 euro", "euro", false, 900.0),
        ("0.05 €", "€", false, 0.05),
        ("12€/h", "€", true, 12.0),
        (" 1.2e3 kr ", "kr", false, 1200.0),
        ("8 kr /h", "kr", true, 8.0),
        ("-3 kr", "kr", false, -3.0),
    ] {
        assert_eq!(money(text, currency, an_hour), Ok(value), "{text}");
    }
    for (text, an_hour, part, cause, remedy) in [
        ("", false, "", "nothing is written", "900 kr"),
        ("900", false, "900", "has no currency", "900 kr"),
        ("kr", false, "kr", "is not a number", "900 kr"),
        ("900 k", false, "k", "`k` is not `kr`", "900 kr"),
        ("900 Kr", false, "Kr", "`Kr` is not `kr`", "900 kr"),
        (
            "900 kr/min",
            false,
            "kr/min",
            "`kr/min` is not `kr`",
            "900 kr",
        ),
        (
            "900 kr/h",
            false,
            "kr/h",
            "is money an hour, but an amount of money",
            "900 kr",
        ),
        (
            "900 kr",
            true,
            "kr",
            "is a sum, but an amount of money an hour",
            "12 kr/h",
        ),
        ("nan kr", false, "nan", "not a finite number", "900 kr"),
        (
            "1e999 kr",
            false,
            "1e999",
            "larger than any number",
            "900 kr",
        ),
        (
            "1 000 kr",
            false,
            "1 000",
            "is not a number",
            "nothing between thousands",
        ),
    ] {
        let error = money(text, "kr", an_hour).unwrap_err();
        assert_eq!(&text[error.span.clone()], part, "{text}: {error:?}");
        assert!(error.cause.contains(cause), "{text}: {error:?}");
        assert!(error.remedy.contains(remedy), "{text}: {error:?}");
    }
}
