//! The form of a laboratory's report sheet: what was typed, what it means, and what is wrong with it, field by field.

use std::collections::BTreeSet;

use selion_core::document::Edit;
use selion_core::document::ids::{BedId, SoilTestId};
use selion_core::document::records::SoilSheet;
use selion_core::ordered::Map;
use selion_core::quantities::{
    Acidity, BadInput, Day, Moment, PartsPerMillion, Percent, Ph, Rate, Units,
};
use selion_core::soil::lime::LimeBasis;
use selion_core::soil::liming_material::Scheme;
use selion_core::soil::test_report::{
    AcidityReading, Ground, Level, Recommendation, Texture, nutrient,
};

use super::order_form::rate_unit;
use super::typed::with_unit;
use super::wording::capital;

/// A field of the form, in its order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each field is described where the sheet is")]
pub enum SoilBox {
    Day,
    Laboratory,
    Ph,
    Method,
    Reading,
    Texture,
    Ground,
    Rate,
    Basis,
    Target,
    OrganicMatter,
    Phosphorus,
    Phosphate,
    Potassium,
    PotassiumLevel,
    CalciumLevel,
    Magnesium,
    MagnesiumLevel,
    Extraction,
    Word,
}

/// A field with its label and what helps to fill it in.
#[derive(Clone, Copy, Debug)]
pub struct SoilField {
    /// Which.
    pub of: SoilBox,
    /// What is asked for.
    pub label: &'static str,
    /// A sentence of help.
    pub help: &'static str,
    /// What there is to choose from, key and name; none for a field to be typed into.
    pub choices: &'static [(&'static str, &'static str)],
}

const METHODS: &[(&str, &str)] = &[
    ("", "None on the sheet"),
    ("mehlich_acidity", "Mehlich acidity (Ac), North Carolina"),
    ("mehlich_buffer", "Mehlich buffer pH, North Carolina"),
    ("penn_state", "Exchangeable acidity, Penn State"),
    ("sikora", "Sikora buffer pH, Oregon"),
];
const TEXTURES: &[(&str, &str)] = &[
    ("", "Not known"),
    ("sand", "Sand or loamy sand"),
    ("loam", "Loam"),
    ("clay", "Clay"),
];
const GROUNDS: &[(&str, &str)] = &[
    ("mineral", "Ordinary ground"),
    ("peaty", "Peat or muck"),
    ("compost", "A bed filled with compost"),
];
const BASES: &[(&str, &str)] = &[
    ("cce", "Lime of 100 % CCE"),
    ("standard", "Standard agricultural lime"),
    ("sold", "The product as it is sold"),
    ("ecce", "Lime of 100 % ECCE"),
    ("enp", "Lime of 100 % ENP (2000 lb/ton)"),
    ("new_york", "Lime of 100 % ENV (New York)"),
    ("mississippi", "Lime of 100 % RNV (Mississippi)"),
    ("oregon", "100-score lime (Oregon)"),
];
const LEVELS: &[(&str, &str)] = &[
    ("", "Not on the sheet"),
    ("low", "Low"),
    ("optimum", "Optimum"),
    ("above", "Above optimum"),
    ("very_high", "Very high"),
];

const NUTRIENT_HELP: &str = "As printed: 60 ppm, 60 mg/kg, or 120 lb/acre, which is halved to ppm.";

const fn typed(of: SoilBox, label: &'static str, help: &'static str) -> SoilField {
    SoilField {
        of,
        label,
        help,
        choices: &[],
    }
}

const fn chosen(
    of: SoilBox,
    label: &'static str,
    choices: &'static [(&'static str, &'static str)],
) -> SoilField {
    SoilField {
        of,
        label,
        help: "",
        choices,
    }
}

/// The fields that every sheet has.
pub const USUAL: &[SoilField] = &[
    typed(SoilBox::Laboratory, "Laboratory", ""),
    typed(SoilBox::Ph, "pH in water", "As printed, such as 5.4."),
    chosen(SoilBox::Method, "Buffer or acidity by", METHODS),
    typed(
        SoilBox::Reading,
        "Its reading",
        "A buffer pH, or an acidity in meq.",
    ),
    chosen(SoilBox::Texture, "Texture", TEXTURES),
    chosen(SoilBox::Ground, "What the ground is", GROUNDS),
];

/// What the laboratory recommends, and its nutrients.
pub const FURTHER: &[SoilField] = &[
    typed(
        SoilBox::Rate,
        "Lime that the laboratory recommends",
        "Its own rate goes before any table, such as 75 lb/1000 sq ft or 2 tons/acre.",
    ),
    chosen(SoilBox::Basis, "That rate is of", BASES),
    typed(
        SoilBox::Target,
        "It is meant to reach pH",
        "6.5 where the sheet does not say.",
    ),
    typed(SoilBox::OrganicMatter, "Organic matter, %", ""),
    typed(SoilBox::Phosphorus, "Phosphorus (P)", NUTRIENT_HELP),
    typed(
        SoilBox::Phosphate,
        "Phosphate (P2O5) recommended",
        "A rate; compost is then reckoned by it.",
    ),
    typed(SoilBox::Potassium, "Potassium (K)", ""),
    chosen(SoilBox::PotassiumLevel, "Potassium is", LEVELS),
    chosen(SoilBox::CalciumLevel, "Calcium is", LEVELS),
    typed(SoilBox::Magnesium, "Magnesium (Mg)", ""),
    chosen(SoilBox::MagnesiumLevel, "Magnesium is", LEVELS),
    typed(
        SoilBox::Extraction,
        "Nutrients drawn out by",
        "Mehlich-3, Bray-1, Olsen.",
    ),
    typed(SoilBox::Word, "A word about it", ""),
];

/// What stands in the form, as it was typed.
pub type SoilTyped = Map<SoilBox, String>;

/// What is wrong, a sentence a field.
pub type Wrong = Map<SoilBox, String>;

/// The sheet that was typed, for these beds.
pub fn read(typed: &SoilTyped, beds: &BTreeSet<BedId>, units: Units) -> Result<SoilSheet, Wrong> {
    let mut form = Reading {
        typed,
        units,
        wrong: Wrong::new(),
    };
    let day = Day::parse(form.text(SoilBox::Day)).map_err(|bad| bad.named("day of the sample"));
    let day = form.note(SoilBox::Day, day);
    // A day that cannot be read is already told; the others are looked at all the same.
    let day = day.unwrap_or_else(|| Moment::default().day_in_utc());
    let mut sheet = SoilSheet::taken(day, beds.iter().copied());
    form.text(SoilBox::Laboratory)
        .clone_into(&mut sheet.laboratory);
    sheet.ph = form.if_typed(SoilBox::Ph, Ph::parse);
    sheet.acidity = form.acidity();
    sheet.texture = match form.text(SoilBox::Texture) {
        "sand" => Some(Texture::Sand),
        "loam" => Some(Texture::Loam),
        "clay" => Some(Texture::Clay),
        _ => None,
    };
    sheet.ground = match form.text(SoilBox::Ground) {
        "peaty" => Ground::Peaty,
        "compost" => Ground::CompostFilled,
        _ => Ground::Mineral,
    };
    sheet.recommendation = form.recommendation();
    sheet.organic_matter = form.if_typed(SoilBox::OrganicMatter, Percent::parse);
    sheet.phosphorus.amount = form.nutrient(SoilBox::Phosphorus, "phosphorus");
    sheet.phosphate_needed = form.rate(SoilBox::Phosphate);
    sheet.potassium.amount = form.nutrient(SoilBox::Potassium, "potassium");
    sheet.potassium.level = level(form.text(SoilBox::PotassiumLevel));
    sheet.calcium.level = level(form.text(SoilBox::CalciumLevel));
    sheet.magnesium.amount = form.nutrient(SoilBox::Magnesium, "magnesium");
    sheet.magnesium.level = level(form.text(SoilBox::MagnesiumLevel));
    form.text(SoilBox::Extraction)
        .clone_into(&mut sheet.extraction);
    form.text(SoilBox::Word).clone_into(&mut sheet.word);
    if form.wrong.is_empty() {
        within_bounds(sheet)
    } else {
        Err(form.wrong)
    }
}

/// The size limits of the edit, told beside the field that they are about, or at the first one.
fn within_bounds(sheet: SoilSheet) -> Result<SoilSheet, Wrong> {
    let edit = Edit::AddSoilTest {
        test: SoilTestId::fresh(Moment::default(), [0; 10]),
        sheet: sheet.clone(),
    };
    let Err(bad) = edit.check_bounds() else {
        return Ok(sheet);
    };
    let field = match bad.field.as_str() {
        "pH" => SoilBox::Ph,
        "buffer pH" | "acidity in hundredths" => SoilBox::Reading,
        "laboratory" => SoilBox::Laboratory,
        "organic matter" => SoilBox::OrganicMatter,
        "word" => SoilBox::Word,
        _ => SoilBox::Day,
    };
    Err(Wrong::from([(field, capital(&bad.to_string()))]))
}

struct Reading<'a> {
    typed: &'a SoilTyped,
    units: Units,
    wrong: Wrong,
}

impl<'a> Reading<'a> {
    fn text(&self, of: SoilBox) -> &'a str {
        self.typed.get(&of).map_or("", |text| text.trim())
    }

    fn note<T>(&mut self, of: SoilBox, read: Result<T, BadInput>) -> Option<T> {
        match read {
            Ok(value) => Some(value),
            Err(bad) => {
                self.wrong.insert(of, capital(&bad.to_string()));
                None
            }
        }
    }

    fn nutrient(&mut self, of: SoilBox, name: &str) -> Option<PartsPerMillion> {
        self.if_typed(of, |text| nutrient(text).map_err(|bad| bad.named(name)))
    }

    /// Nothing for an empty field; a field that says something must say it rightly.
    fn if_typed<T>(
        &mut self,
        of: SoilBox,
        parse: impl Fn(&str) -> Result<T, BadInput>,
    ) -> Option<T> {
        let text = self.text(of);
        if text.is_empty() {
            return None;
        }
        self.note(of, parse(text))
    }

    fn rate(&mut self, of: SoilBox) -> Option<Rate> {
        let unit = rate_unit(self.units);
        self.if_typed(of, |text| Rate::parse(&with_unit(text, unit)))
    }

    fn acidity(&mut self) -> Option<AcidityReading> {
        let of = SoilBox::Reading;
        let method = self.text(SoilBox::Method);
        if method.is_empty() != self.text(of).is_empty() {
            let bad = BadInput::new(
                "reading",
                "a method and its reading together",
                "one of them",
            );
            self.wrong.insert(of, capital(&bad.to_string()));
            return None;
        }
        match method {
            "mehlich_acidity" => self
                .if_typed(of, Acidity::parse)
                .map(AcidityReading::MehlichAcidityNc),
            "mehlich_buffer" => self
                .if_typed(of, Ph::parse)
                .map(AcidityReading::MehlichBufferNc),
            "penn_state" => self
                .if_typed(of, Acidity::parse)
                .map(AcidityReading::ExchangeablePennState),
            "sikora" => self
                .if_typed(of, Ph::parse)
                .map(AcidityReading::SikoraOregon),
            _ => None,
        }
    }

    fn recommendation(&mut self) -> Option<Recommendation> {
        let rate = self.rate(SoilBox::Rate)?;
        let target = self.if_typed(SoilBox::Target, Ph::parse);
        Some(Recommendation {
            rate,
            basis: basis(self.text(SoilBox::Basis)),
            target: target.unwrap_or(Ph::from_hundredths(650)),
            depth: None,
        })
    }
}

fn basis(key: &str) -> LimeBasis {
    let scheme = match key {
        "standard" => return LimeBasis::StandardAgriculturalLime,
        "sold" => return LimeBasis::ProductAsSold,
        "ecce" => Scheme::Ecce,
        "enp" => Scheme::Enp,
        "new_york" => Scheme::NewYorkEnv,
        "mississippi" => Scheme::MississippiRnv,
        "oregon" => Scheme::OregonLimeScore,
        _ => return LimeBasis::CalciumCarbonateEquivalent,
    };
    LimeBasis::Effective {
        scheme,
        value: Percent::HUNDRED,
    }
}

fn level(key: &str) -> Option<Level> {
    match key {
        "low" => Some(Level::Low),
        "optimum" => Some(Level::Optimum),
        "above" => Some(Level::AboveOptimum),
        "very_high" => Some(Level::VeryHigh),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plain::sample::bed;

    fn form(fields: &[(SoilBox, &str)]) -> Result<SoilSheet, Wrong> {
        let mut typed = SoilTyped::from([(SoilBox::Day, "2026-02-14".to_owned())]);
        for (of, text) in fields {
            typed.insert(*of, (*text).to_owned());
        }
        read(&typed, &BTreeSet::from([bed(1)]), Units::UsCustomary)
    }

    #[test]
    fn a_sheet_is_read_as_the_laboratory_printed_it() {
        let sheet = form(&[
            (SoilBox::Ph, " 5.2 "),
            (SoilBox::Method, "mehlich_acidity"),
            (SoilBox::Reading, "2.0"),
            (SoilBox::Texture, "loam"),
            (SoilBox::Rate, "75"),
            (SoilBox::Basis, "enp"),
            (SoilBox::Phosphorus, "18 ppm"),
            (SoilBox::MagnesiumLevel, "very_high"),
        ]);
        let sheet = sheet.unwrap();
        assert_eq!(sheet.ph, Some(Ph::from_hundredths(520)));
        let acidity = Acidity::from_hundredths(200);
        assert_eq!(
            sheet.acidity,
            Some(AcidityReading::MehlichAcidityNc(acidity))
        );
        let recommendation = sheet.recommendation.unwrap();
        assert_eq!(Ok(recommendation.rate), Rate::parse("75 lb/1000 sq ft"));
        assert_eq!(recommendation.target, Ph::from_hundredths(650));
        assert_eq!(sheet.magnesium.level, Some(Level::VeryHigh));
        assert_eq!(sheet.beds, Map::from([(bed(1), true)]));
    }

    #[test]
    fn every_key_that_is_offered_means_something() {
        for (key, _) in BASES {
            let sheet = form(&[(SoilBox::Rate, "75"), (SoilBox::Basis, key)]).unwrap();
            let is_default = sheet.recommendation.unwrap().basis == basis("");
            assert_eq!(is_default, *key == "cce", "{key}");
        }
        for (key, _) in METHODS.iter().skip(1) {
            let sheet = form(&[(SoilBox::Method, key), (SoilBox::Reading, "6.1")]).unwrap();
            assert!(sheet.acidity.is_some(), "{key}");
        }
        for (key, _) in LEVELS.iter().skip(1) {
            assert!(level(key).is_some(), "{key}");
        }
    }

    #[test]
    fn every_wrong_field_says_so_at_once() {
        let wrong = form(&[
            (SoilBox::Day, "yesterday"),
            (SoilBox::Ph, "54"),
            (SoilBox::Reading, "6.1"),
            (SoilBox::Potassium, "plenty"),
        ]);
        let fields: Vec<SoilBox> = wrong.unwrap_err().into_keys().collect();
        let expected = [
            SoilBox::Day,
            SoilBox::Ph,
            SoilBox::Reading,
            SoilBox::Potassium,
        ];
        assert_eq!(fields, expected);
        let nowhere = read(
            &SoilTyped::from([(SoilBox::Day, "2026-02-14".to_owned())]),
            &BTreeSet::new(),
            Units::Metric,
        );
        let sentence = nowhere.unwrap_err().remove(&SoilBox::Day).unwrap();
        assert!(sentence.starts_with("Beds: "), "{sentence}");
    }
}
