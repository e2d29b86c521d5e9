//! What people type is read as they mean it, and what is shown is read back.

use proptest::prelude::*;

use super::{Area, Currency, Length, Mass, Minutes, Money, Rate, Units, Volume};

const BOTH: [Units; 2] = [Units::Metric, Units::UsCustomary];

fn dollars() -> Currency {
    Currency::new("USD").unwrap()
}

#[test]
fn lengths_as_people_write_them() {
    for (text, mm) in [
        ("3.5 m", 3_500),
        ("3,5 m", 3_500),
        ("350cm", 3_500),
        ("12 ft 6 in", 3_810),
        ("12' 6\"", 3_810),
        ("12 feet, 6 inches", 3_810),
        ("12ft6in", 3_810),
        ("½ m", 500),
        ("2 1/2 ft", 762),
        ("1 m 20 cm", 1_200),
        ("0,125 m", 125),
        ("1,250 mm", 1_250),
        ("10 YD", 9_144),
    ] {
        assert_eq!(Length::parse(text).map(Length::mm), Ok(mm), "{text}");
    }
}

#[test]
fn other_amounts_as_people_write_them() {
    assert_eq!(Area::parse("360 sq ft").unwrap().mm2(), 33_445_094);
    assert_eq!(Area::parse("8,000 square feet").unwrap().mm2(), 743_224_320);
    assert_eq!(Area::parse("1 acre").unwrap().mm2(), 4_046_856_422);
    assert_eq!(Area::parse("12 m2").unwrap(), Area::parse("12 m²").unwrap());
    assert_eq!(Mass::parse("50 lb").unwrap().grams(), 22_680);
    assert_eq!(Mass::parse("5 lbs. 8 oz").unwrap().grams(), 2_495);
    assert_eq!(Mass::parse("1 ton").unwrap().grams(), 907_185);
    assert_eq!(Mass::parse("1 t").unwrap().grams(), 1_000_000);
    assert_eq!(Volume::parse("1 gal").unwrap().ml(), 3_785);
    assert_eq!(Volume::parse("1 cu yd").unwrap().ml(), 764_555);
    assert_eq!(Minutes::parse("1 1/2 h").unwrap().get(), 90);
    assert_eq!(Minutes::parse("1 h 30 min").unwrap().get(), 90);
    assert_eq!(Minutes::parse("90 min").unwrap().get(), 90);
    assert_eq!(
        Rate::parse("1/2 lb/100 sq ft").unwrap(),
        Rate::parse("5 lb per 1,000 sq ft").unwrap()
    );
    assert_eq!(
        Rate::parse("366 g/m2").unwrap().micrograms_per_m2(),
        366_000_000
    );
}

#[test]
fn what_could_be_meant_otherwise_is_refused() {
    for text in [
        "",
        "12",
        "m",
        "-3 m",
        "3 m 3 m",
        "6 in 12 ft",
        "3 m2",
        "3..5 m",
        "3. m",
        "1,2,3 m",
        "1.000.000 m",
        "3 parsec",
        "1/0 m",
        "9999999999999999 m",
        "3 m extra",
    ] {
        assert!(Length::parse(text).is_err(), "{text}");
    }
    for text in [
        "75 lb",
        "75 lb/",
        "75/1000 sq ft",
        "75 lb/0 sq ft",
        "75 lb/1000",
        "75 lb/1000 sq ft each",
    ] {
        assert!(Rate::parse(text).is_err(), "{text}");
    }
    for text in [
        "",
        "$",
        "47.855",
        "€47.85",
        "47.85 EUR",
        "--5",
        "-$-5",
        "1/2",
        "five",
    ] {
        assert!(Money::parse(text, dollars()).is_err(), "{text}");
    }
    let refusal = Length::parse("tall").unwrap_err().to_string();
    assert_eq!(
        refusal,
        "length: expected a length with its unit, such as 3.5 m or 12 ft 6 in, but “tall” came."
    );
}

#[test]
fn money_with_and_without_its_sign() {
    for text in [
        "47.85",
        "47,85",
        "$47.85",
        "$ 47.85",
        "47.85 USD",
        "usd 47.85",
        "47.85$",
    ] {
        assert_eq!(
            Money::parse(text, dollars()),
            Ok(Money::from_minor(4_785)),
            "{text}"
        );
    }
    for text in ["-$5", "$-5", "−5.00"] {
        assert_eq!(
            Money::parse(text, dollars()),
            Ok(Money::from_minor(-500)),
            "{text}"
        );
    }
    let yen = Currency::new("JPY").unwrap();
    assert_eq!(Money::parse("1,500", yen), Ok(Money::from_minor(1_500)));
    assert!(Money::parse("1.5", yen).is_err());
    assert_eq!(Money::from_minor(-104_785).show(dollars()), "−$1,047.85");
    assert_eq!(
        Money::from_minor(1_250).show(Currency::new("CHF").unwrap()),
        "CHF 12.50"
    );
    assert_eq!(
        Money::from_minor(1_250).show_number(Currency::new("KWD").unwrap()),
        "1.250"
    );
}

#[test]
fn shown_with_the_digits_of_the_trade() {
    let shown = |mm: i64| BOTH.map(|units| Length::from_mm(mm).show(units));
    assert_eq!(shown(3_810), ["3.81 m", "12 ft 6 in"]);
    assert_eq!(shown(450), ["45 cm", "1 ft 5.7 in"]);
    assert_eq!(shown(3_658), ["3.66 m", "12 ft"]);
    assert_eq!(
        Area::from_mm2(743_224_320).show(Units::UsCustomary),
        "8,000 sq ft"
    );
    assert_eq!(Mass::from_grams(366).show(Units::Metric), "366 g");
    let apart = Mass::from_grams(12_247).show_apart(Units::UsCustomary);
    assert_eq!((apart.number.as_str(), apart.unit), ("27.0", "lb"));
    assert_eq!(Volume::from_ml(764_555).show(Units::UsCustomary), "1 cu yd");
    assert_eq!(Minutes::new(90).show(), "1 h 30 min");
    assert_eq!(Minutes::new(75).show_apart().to_string(), "1.25 h");
}

proptest! {
    #[test]
    fn what_is_shown_reads_back_and_shows_the_same(count in 0_i64..1_000_000_000_000) {
        for units in BOTH {
            let length = Length::from_mm(count % 10_000_000);
            prop_assert_eq!(Length::parse(&length.show(units)).unwrap().show(units), length.show(units));
            prop_assert_eq!(Length::parse(&length.show_apart(units).to_string()).unwrap().show_apart(units), length.show_apart(units));
            let area = Area::from_mm2(count);
            prop_assert_eq!(Area::parse(&area.show(units)).unwrap().show(units), area.show(units));
            let mass = Mass::from_grams(count % 1_000_000_000);
            prop_assert_eq!(Mass::parse(&mass.show_apart(units).to_string()).unwrap().show_apart(units), mass.show_apart(units));
            let volume = Volume::from_ml(count % 1_000_000_000);
            prop_assert_eq!(Volume::parse(&volume.show_apart(units).to_string()).unwrap().show_apart(units), volume.show_apart(units));
            let rate = Rate::from_micrograms_per_m2(count);
            prop_assert_eq!(Rate::parse(&rate.show(units)).unwrap().show(units), rate.show(units));
        }
        let minutes = Minutes::new(count % 10_000_000);
        prop_assert_eq!(Minutes::parse(&minutes.show()), Ok(minutes));
    }

    #[test]
    fn whole_base_units_read_back_exactly(count in 0_i64..1_000_000_000_000_000) {
        prop_assert_eq!(Length::parse(&format!("{count} mm")), Ok(Length::from_mm(count)));
        prop_assert_eq!(Area::parse(&format!("{count} mm2")), Ok(Area::from_mm2(count)));
        prop_assert_eq!(Mass::parse(&format!("{count} g")), Ok(Mass::from_grams(count)));
        prop_assert_eq!(Volume::parse(&format!("{count} ml")), Ok(Volume::from_ml(count)));
    }

    #[test]
    fn money_reads_back_exactly(minor in -99_999_999_999_999_i64..99_999_999_999_999, code in prop::sample::select(vec!["USD", "EUR", "GBP", "JPY", "KWD", "CHF", "SEK"])) {
        let currency = Currency::new(code).unwrap();
        let money = Money::from_minor(minor);
        prop_assert_eq!(Money::parse(&money.show(currency), currency), Ok(money));
        prop_assert_eq!(Money::parse(&money.show_number(currency), currency), Ok(money));
    }

    #[test]
    fn any_text_at_all_is_read_or_refused(text in ".{0,60}", near in "[0-9 .,/½a-z\"'²-]{0,24}") {
        for text in [text, near] {
            let _ = (Length::parse(&text), Area::parse(&text), Mass::parse(&text), Volume::parse(&text));
            let _ = (Minutes::parse(&text), Rate::parse(&text), Money::parse(&text, dollars()));
        }
    }

    #[test]
    fn any_stored_number_can_be_shown(count in any::<i64>()) {
        for units in BOTH {
            let texts = [
                Length::from_mm(count).show(units),
                Area::from_mm2(count).show(units),
                Mass::from_grams(count).show(units),
                Volume::from_ml(count).show(units),
                Rate::from_micrograms_per_m2(count).show(units),
                Minutes::new(count).show(),
            ];
            prop_assert!(texts.iter().all(|text| text.len() < 40), "{texts:?}");
        }
    }
}
