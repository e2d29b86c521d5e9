//! What a bushel of a crop weighs, for those who pick by the bushel and log by weight.
//!
//! Mississippi State University Extension prints these weights in pounds; only crops that stand there can be converted.

use super::known::Span;
use crate::quantities::Mass;
use crate::quantities::exact::nearest;
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// Pounds in a bushel, from the least to the most that is printed.
const POUNDS: [(&str, i64, i64); 13] = [
    ("bean, bush snap", 30, 30),
    ("bean, pole snap", 30, 30),
    ("bean, bush lima", 32, 32),
    ("cucumber", 47, 55),
    ("eggplant", 33, 33),
    ("okra", 30, 30),
    ("pea, garden", 28, 30),
    ("pea, southern (cowpea)", 25, 25),
    ("pepper", 25, 25),
    ("potato", 60, 60),
    ("sweet potato", 55, 55),
    ("spinach", 20, 25),
    ("squash, summer", 42, 42),
];

/// What so many hundredths of a bushel of a crop weigh.
///
/// ```
/// use selion_core::quantities::Units;
/// use selion_core::season::bushels;
///
/// let answer = bushels::weight("potato", 150)?; // a bushel and a half
/// assert_eq!(answer.result.least.show(Units::UsCustomary), "90.0 lb");
/// # Ok::<(), selion_core::reckoning::Refusal>(())
/// ```
pub fn weight(crop: &str, hundredths: i64) -> Result<Reckoning<Span<Mass>>, Refusal> {
    let name = crop.trim();
    let row = POUNDS
        .iter()
        .find(|(known, ..)| known.eq_ignore_ascii_case(name));
    let (_, least, most) = row.ok_or_else(|| Refusal::Missing {
        what: format!("The weight of a bushel of {name}"),
        why: "no extension service prints it; weigh it and log the weight".to_owned(),
    })?;
    if !(0..=100_000).contains(&hundredths) {
        let expected = "from 0 to 1000 bushels";
        return Err(Refusal::bad("bushels", expected, hundredths.to_string()));
    }
    // A pound is 453.59237 g.
    let grams = |pounds: i64| {
        let count = i128::from(pounds) * i128::from(hundredths) * 45_359_237;
        Mass::from_grams(nearest(count, 10_000_000).unwrap_or(0))
    };
    let result = Span {
        least: grams(*least),
        most: grams(*most),
    };
    let source = Source::published(
        "Mississippi State University Extension: weights of a bushel, in pounds.",
    );
    let pounds = Span {
        least: *least,
        most: *most,
    };
    Ok(Reckoning::new(result, source)
        .step(Step::new("A bushel", format!("{pounds} lb")))
        .step(Step::new(
            "Bushels",
            format!("{}.{:02}", hundredths / 100, hundredths % 100),
        ))
        .rounded("To the gram."))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::season::crops::CropBook;

    #[test]
    fn every_crop_with_a_bushel_is_one_of_the_table_and_others_are_refused() {
        let book = CropBook::with(&[]).unwrap();
        for (name, least, most) in POUNDS {
            assert!(book.find(name).is_ok(), "{name}");
            assert!(least <= most);
        }
        assert_eq!(weight("kale", 100).unwrap_err().code(), "missing");
        assert_eq!(weight("okra", -1).unwrap_err().code(), "bad_input");
        let okra = weight("Okra", 100).unwrap().result;
        assert_eq!((okra.least.grams(), okra.most.grams()), (13_608, 13_608));
    }
}
