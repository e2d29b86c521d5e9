//! What holds for every topic, whoever wrote it.

use std::collections::BTreeSet;

use proptest::prelude::*;
use serde_json::json;

use super::*;

#[test]
fn every_example_runs_and_prints_its_working() {
    for topic in all() {
        let printed = run(topic.name, topic.example)
            .unwrap_or_else(|error| panic!("{}: {error}", topic.name));
        assert!(printed.text.contains("\nSource: "), "{}", printed.text);
        assert!(printed.json["result"] != Value::Null, "{}", topic.name);
        assert!(
            printed.json["source"]["words"].is_string(),
            "{}",
            topic.name
        );
    }
}

#[test]
fn names_are_plain_and_unique_and_summaries_are_one_line() {
    let mut names = BTreeSet::new();
    for topic in all() {
        assert!(
            names.insert(topic.name),
            "{} stands there twice",
            topic.name
        );
        let plain =
            |letter: char| letter.is_ascii_lowercase() || letter.is_ascii_digit() || letter == '-';
        assert!(topic.name.chars().all(plain), "{}", topic.name);
        assert!(
            !topic.summary.contains('\n') && topic.summary.ends_with('.'),
            "{}",
            topic.name
        );
    }
}

#[test]
fn an_unknown_field_is_refused_by_every_topic() {
    for topic in all() {
        let mut case: Value = serde_json::from_str(topic.example).unwrap();
        case["nobody_knows_this"] = json!("1 m2");
        let error = run(topic.name, &case.to_string()).unwrap_err();
        assert!(
            error.to_string().starts_with("field: expected one of "),
            "{}: {error}",
            topic.name
        );
    }
}

#[test]
fn an_unknown_topic_is_answered_with_the_list() {
    let error = run("weather", "{}").unwrap_err();
    assert_eq!(error.code(), "no_such_topic");
    assert!(error.to_string().contains("apportion"));
}

/// Values that people, programs and mischief put into fields.
fn any_value() -> impl Strategy<Value = Value> {
    let odd_texts = prop::sample::select(vec![
        "",
        " ",
        "0",
        "-1",
        "1e400",
        "nan",
        "12 m2",
        "0 m2",
        "1 mm2",
        "999999999 ha",
        "-3 m2",
        "75 lb/1000 sq ft",
        "0 lb/acre",
        "999999999999999 t/m2",
        "0 g",
        "1 g",
        "9999999999 t",
        "0 %",
        "100 %",
        "1000 %",
        "14",
        "6.6",
        "0.01",
        "5 meq",
        "0 ppm",
        "1 mm",
        "999999999 km",
        "2026-02-29",
        "9999-12-31",
        "0000-01-01",
        "2026-03-14",
        "$0",
        "$99999999999",
        "USD",
        "JPY",
        "metric",
        "us",
        "0 h",
        "99999999 h",
        "0 l",
        "99999999999 m3",
        "40 °C",
        "-400 F",
        "١٢ m2",
    ]);
    let numbers = prop_oneof![
        any::<i64>().prop_map(|number| json!(number)),
        any::<f64>().prop_map(|number| json!(number)),
        (-3_i64..400).prop_map(|number| json!(number)),
    ];
    let leaf = prop_oneof![
        3 => odd_texts.prop_map(|text| json!(text)),
        1 => "\\PC{0,12}".prop_map(|text| json!(text)),
        2 => numbers,
        1 => any::<bool>().prop_map(|flag| json!(flag)),
        1 => Just(Value::Null),
        1 => Just(json!([])),
        1 => Just(json!({})),
    ];
    leaf.prop_recursive(2, 6, 3, |inner| {
        prop::collection::vec(inner, 0..3).prop_map(Value::Array)
    })
}

/// Every place in a JSON value where something can be changed, as a pointer.
fn places(value: &Value, at: &str, out: &mut Vec<String>) {
    out.push(at.to_owned());
    match value {
        Value::Object(fields) => {
            for (name, inner) in fields {
                places(inner, &format!("{at}/{name}"), out);
            }
        }
        Value::Array(entries) => {
            for (index, inner) in entries.iter().enumerate() {
                places(inner, &format!("{at}/{index}"), out);
            }
        }
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// Examples with up to three fields replaced by anything: an answer or one sentence, never a panic.
    #[test]
    fn no_case_makes_a_topic_panic(
        changes in prop::collection::vec((any::<prop::sample::Index>(), any_value()), 1..4)
    ) {
        for topic in all() {
            let mut case: Value = serde_json::from_str(topic.example).unwrap();
            for (index, value) in &changes {
                let mut pointers = Vec::new();
                places(&case, "", &mut pointers);
                // The first place is the whole case, which `any_text_is_answered` covers.
                pointers.remove(0);
                if pointers.is_empty() {
                    continue;
                }
                if let Some(place) = case.pointer_mut(index.get::<String>(&pointers)) {
                    *place = value.clone();
                }
            }
            if let Err(error) = run(topic.name, &case.to_string()) {
                prop_assert!(!error.to_string().contains('\n'), "{error}");
                prop_assert!(!matches!(error, TopicError::Unwritable(_)), "{error}");
            }
        }
    }

    /// Any text at all.
    #[test]
    fn any_text_is_answered(text in "\\PC{0,40}") {
        for topic in all() {
            prop_assert!(run(topic.name, &text).is_err());
        }
    }

    /// Whoever types pounds and whoever types the same amounts in kilograms get the same answer, in every topic.
    #[test]
    fn metric_and_customary_input_agree_in_every_topic(times in 1_i64..40) {
        for topic in all() {
            let mut customary: Value = serde_json::from_str(topic.example).unwrap();
            each_text(&mut customary, &|text| multiplied(text, times));
            let mut metric = customary.clone();
            each_text(&mut metric, &in_metric);
            // The units in which the answer is shown stay the same: what is compared is what was worked out.
            let found = [&customary, &metric].map(|case| run(topic.name, &case.to_string()));
            match found {
                [Ok(customary), Ok(metric)] => {
                    prop_assert_eq!(&customary.json["result"], &metric.json["result"], "{}", topic.name);
                }
                [Err(customary), Err(metric)] => prop_assert_eq!(customary.code(), metric.code(), "{}", topic.name),
                [Ok(_), Err(error)] | [Err(error), Ok(_)] => prop_assert!(false, "{}: {error}", topic.name),
            }
        }
    }
}

/// Changes every text of a case that `change` has another text for.
fn each_text(value: &mut Value, change: &dyn Fn(&str) -> Option<String>) {
    match value {
        Value::String(text) => {
            if let Some(changed) = change(text) {
                *text = changed;
            }
        }
        Value::Array(entries) => entries
            .iter_mut()
            .for_each(|entry| each_text(entry, change)),
        Value::Object(fields) => fields
            .values_mut()
            .for_each(|field| each_text(field, change)),
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}

/// What one of a customary unit is in a metric one, in thousand-millionths: exact, by definition.
const METRIC: [(&str, i64, &str); 10] = [
    ("lb", 453_592_370_000, "g"),
    ("ton", 907_184_740_000_000, "g"),
    ("oz", 28_349_523_125, "g"),
    ("in", 25_400_000_000, "mm"),
    ("ft", 304_800_000_000, "mm"),
    ("sq ft", 92_903_040, "m2"),
    ("acre", 4_046_856_422_400, "m2"),
    ("gal", 3_785_411_784, "l"),
    ("cu ft", 28_316_846_592, "l"),
    ("cu yd", 764_554_857_984, "l"),
];

/// A whole customary amount, as its number, and what one of its unit is in a metric one.
fn customary(text: &str) -> Option<(i64, &'static (&'static str, i64, &'static str))> {
    let (number, unit) = text.split_once(' ')?;
    let number = number.replace(',', "").parse().ok()?;
    let metric = METRIC.iter().find(|(name, _, _)| *name == unit)?;
    Some((number, metric))
}

fn multiplied(text: &str, times: i64) -> Option<String> {
    let (number, (unit, _, _)) = customary(text)?;
    Some(format!("{} {unit}", number * times))
}

fn in_metric(text: &str) -> Option<String> {
    let (number, (_, of_one, metric)) = customary(text)?;
    let amount = i128::from(number) * i128::from(*of_one);
    let digits = format!("{}.{:09}", amount / 1_000_000_000, amount % 1_000_000_000);
    Some(format!(
        "{} {metric}",
        digits.trim_end_matches('0').trim_end_matches('.')
    ))
}
