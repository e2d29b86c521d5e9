//! Topics over [`crate::soil`]: lime, its products and doses, targets, ash, sulfur, gypsum, blossom-end rot.

use super::case::Case;
use super::{Printed, Topic, TopicError};
use crate::quantities::{BadInput, Day, Mass, Percent, Rate};
use crate::reckoning::Refusal;
use crate::soil::ash::{self, AshCase};
use crate::soil::blossom_end_rot::{self, RotCase};
use crate::soil::doses::{self, DoseCase, Placement};
use crate::soil::gypsum::{self, GypsumCase};
use crate::soil::lime::{self, LimeBasis, LimeCase};
use crate::soil::liming_material::fineness::{self, enp_from_pounds_a_ton};
use crate::soil::liming_material::{Product, ProductKind, Scheme, kind_of_stone, product_rate};
use crate::soil::sulfur::{self, SulfurCase};
use crate::soil::targets::bed_target;
use crate::soil::test_report::{
    AcidityReading, Ground, Level, Recommendation, TestReport, Texture,
};

pub(super) const TOPICS: &[Topic] = &[
    Topic {
        name: "lime-rate",
        summary: "How much lime a soil needs, by the rule of the laboratory that looked at it.",
        example: r#"{"ph": "5.2", "target": "6.5", "method": "mehlich-nc", "buffer_ph": "6.1", "units": "us"}"#,
        run: run_lime_rate,
    },
    Topic {
        name: "lime-product",
        summary: "How much of a liming product stands for a rate, by its label.",
        example: r#"{"rate": "75 lb/1000 sq ft", "basis": "cce", "product": "ground", "cce": "80 %", "units": "us"}"#,
        run: run_lime_product,
    },
    Topic {
        name: "lime-value",
        summary: "The effective value of a limestone from its CCE and fineness, by a named scheme.",
        example: r#"{"scheme": "new-york-env", "cce": "95 %", "p20": "95 %", "p60": "70 %", "p100": "55 %"}"#,
        run: run_lime_value,
    },
    Topic {
        name: "lime-kind",
        summary: "Calcitic or dolomitic lime, by the soil's magnesium.",
        example: r#"{"magnesium": "low"}"#,
        run: run_lime_kind,
    },
    Topic {
        name: "lime-doses",
        summary: "A lime rate in doses with their days, clear of manure and soil tests.",
        example: r#"{"rate": "24 lb/100 sq ft", "area": "400 sq ft", "placement": "dug-in", "first_on": "2026-10-01",
            "manure_on": ["2027-03-20"], "units": "us"}"#,
        run: run_lime_doses,
    },
    Topic {
        name: "ph-target",
        summary: "The pH that a bed should have for its crops, and whether lime stays off it.",
        example: r#"{"crops": ["brassicas", "vegetables"], "next_year": ["potato"], "ph": "5.9"}"#,
        run: run_ph_target,
    },
    Topic {
        name: "wood-ash",
        summary: "Wood ash in place of lime: how much, what it brings, what lime is left to do.",
        example: r#"{"need": "50 lb/1000 sq ft", "ph": "5.8", "cce": "50 %", "units": "us"}"#,
        run: run_wood_ash,
    },
    Topic {
        name: "sulfur",
        summary: "Elemental sulfur for sour beds, in small doses.",
        example: r#"{"ph": "6.0", "target": "4.5", "texture": "loam", "fizzes": false, "units": "us"}"#,
        run: run_sulfur,
    },
    Topic {
        name: "gypsum",
        summary: "Gypsum where a test shows little calcium at a pH that is fine.",
        example: r#"{"ph": "6.6", "target": "6.5", "calcium": "low", "area": "40 sq ft", "units": "us"}"#,
        run: run_gypsum,
    },
    Topic {
        name: "blossom-end-rot",
        summary: "What to do about blossom-end rot, in order; never lime by itself.",
        example: r#"{"ph": "6.6", "target": "6.5", "calcium": "optimum", "area": "40 sq ft", "units": "us"}"#,
        run: run_blossom_end_rot,
    },
];

const LEVELS: [(&str, Level); 4] = [
    ("low", Level::Low),
    ("optimum", Level::Optimum),
    ("above-optimum", Level::AboveOptimum),
    ("very-high", Level::VeryHigh),
];
const TEXTURES: [(&str, Texture); 3] = [
    ("sand", Texture::Sand),
    ("loam", Texture::Loam),
    ("clay", Texture::Clay),
];
const GROUNDS: [(&str, Ground); 3] = [
    ("mineral", Ground::Mineral),
    ("peaty", Ground::Peaty),
    ("compost-filled", Ground::CompostFilled),
];
const SCHEMES: [(&str, Scheme); 5] = [
    ("new-york-env", Scheme::NewYorkEnv),
    ("mississippi-rnv", Scheme::MississippiRnv),
    ("enp", Scheme::Enp),
    ("oregon-score", Scheme::OregonLimeScore),
    ("ecce", Scheme::Ecce),
];
const PRODUCTS: [(&str, ProductKind); 4] = [
    ("ground", ProductKind::Ground),
    ("pelletized", ProductKind::Pelletized),
    ("hydrated", ProductKind::Hydrated),
    ("quicklime", ProductKind::Quicklime),
];

/// By whose method a soil was looked at.
#[derive(Clone, Copy)]
enum Method {
    Laboratory,
    MehlichNc,
    PennState,
    PennStateTurf,
    OregonSikora,
    Texture,
}

const METHODS: [(&str, Method); 6] = [
    ("laboratory", Method::Laboratory),
    ("mehlich-nc", Method::MehlichNc),
    ("penn-state", Method::PennState),
    ("penn-state-turf", Method::PennStateTurf),
    ("oregon-sikora", Method::OregonSikora),
    ("texture", Method::Texture),
];

/// What the number behind a rate's basis is.
#[derive(Clone, Copy)]
enum BasisKind {
    Cce,
    Effective,
    Standard,
    AsSold,
}

const BASES: [(&str, BasisKind); 4] = [
    ("cce", BasisKind::Cce),
    ("effective", BasisKind::Effective),
    ("standard", BasisKind::Standard),
    ("as-sold", BasisKind::AsSold),
];

fn run_lime_rate(case: &Case) -> Result<Printed, TopicError> {
    let mut report = TestReport {
        taken_on: case.read_if("taken_on")?,
        limed_on: days(case, "limed_on")?,
        ph: case.read_if("ph")?,
        ..TestReport::default()
    };
    let target = case.read("target")?;
    let mut credit = None;
    let method = case.choice("method", &METHODS)?;
    match method {
        Method::Laboratory => {
            report.recommendation = Some(Recommendation {
                rate: case.read("rate")?,
                basis: basis(case)?,
                target: case.read_if("rate_target")?.unwrap_or(target),
                depth: case.read_if("rate_depth")?,
            });
        }
        Method::MehlichNc => {
            report.acidity = Some(match case.read_if("buffer_ph")? {
                Some(buffer) => AcidityReading::MehlichBufferNc(buffer),
                None => AcidityReading::MehlichAcidityNc(case.read("acidity")?),
            });
            credit = case.read_if("credit")?;
        }
        Method::PennState | Method::PennStateTurf => {
            report.acidity = Some(AcidityReading::ExchangeablePennState(case.read("acidity")?));
        }
        Method::OregonSikora => {
            report.acidity = Some(AcidityReading::SikoraOregon(case.read("buffer_ph")?));
        }
        Method::Texture => {
            report.texture = case.choice_if("texture", &TEXTURES)?;
            report.ground = case.choice_if("ground", &GROUNDS)?.unwrap_or_default();
        }
    }
    let answer = lime::need(&LimeCase {
        report,
        target,
        credit,
        turf: matches!(method, Method::PennStateTurf),
        units: case.units()?,
    })?;
    let answer = match case.read_if("mixed_to")? {
        Some(depth) => lime::for_depth(answer, depth)?,
        None => answer,
    };
    Printed::of(&answer)
}

fn run_lime_product(case: &Case) -> Result<Printed, TopicError> {
    let kind = case.choice("product", &PRODUCTS)?;
    if !case.flag_if("not_shared")?.unwrap_or(false) {
        kind.check_for_shared_order()?;
    }
    let rate: Rate = case.read("rate")?;
    let basis = basis(case)?;
    let mut product = Product::of(kind);
    match basis {
        LimeBasis::CalciumCarbonateEquivalent => product.cce = case.read_if("cce")?,
        LimeBasis::Effective { .. } => product.effective = effective(case)?,
        LimeBasis::StandardAgriculturalLime => {
            product.equals_standard_ton = case.read_if::<Mass>("equals_standard_ton")?;
        }
        LimeBasis::ProductAsSold => {}
    }
    Printed::of(&product_rate(rate, basis, &product, case.units()?)?)
}

/// What a rate is of: `basis`, and with an effective one `basis_scheme` and `basis_value`.
fn basis(case: &Case) -> Result<LimeBasis, BadInput> {
    Ok(match case.choice("basis", &BASES)? {
        BasisKind::Cce => LimeBasis::CalciumCarbonateEquivalent,
        BasisKind::Standard => LimeBasis::StandardAgriculturalLime,
        BasisKind::AsSold => LimeBasis::ProductAsSold,
        BasisKind::Effective => LimeBasis::Effective {
            scheme: case.choice("basis_scheme", &SCHEMES)?,
            value: case.read_if("basis_value")?.unwrap_or(Percent::HUNDRED),
        },
    })
}

/// The product's effective value: a percentage by its `scheme`, or an ENP in pounds a ton.
fn effective(case: &Case) -> Result<Option<(Scheme, Percent)>, Refusal> {
    if let Some(pounds) = case.whole_if("enp_lb_per_ton", 0..=10_000)? {
        return Ok(Some((Scheme::Enp, enp_from_pounds_a_ton(pounds)?)));
    }
    match case.read_if("effective_value")? {
        Some(value) => Ok(Some((case.choice("scheme", &SCHEMES)?, value))),
        None => Ok(None),
    }
}

fn run_lime_value(case: &Case) -> Result<Printed, TopicError> {
    let cce = case.read("cce")?;
    let answer = match case.choice("scheme", &SCHEMES)? {
        Scheme::NewYorkEnv => fineness::new_york_env(
            cce,
            case.read("p20")?,
            case.read("p60")?,
            case.read("p100")?,
        )?,
        Scheme::MississippiRnv => {
            fineness::mississippi_rnv(cce, case.read("p10")?, case.read("p50")?)?
        }
        Scheme::Enp => fineness::enp(
            cce,
            case.read("fineness_factor")?,
            case.read_if("moisture")?.unwrap_or(Percent::ZERO),
        )?,
        scheme @ (Scheme::OregonLimeScore | Scheme::Ecce) => {
            return Err(Refusal::OutsideTheRule {
                field: "scheme".to_owned(),
                bounds:
                    "the schemes whose weights are published here; take the others from the label"
                        .to_owned(),
                came: scheme.words().to_owned(),
            }
            .into());
        }
    };
    Printed::of(&answer)
}

fn run_lime_kind(case: &Case) -> Result<Printed, TopicError> {
    let level = case.choice_if("magnesium", &LEVELS)?;
    Printed::of(&kind_of_stone(level, case.read_if("magnesium_ppm")?)?)
}

fn run_lime_doses(case: &Case) -> Result<Printed, TopicError> {
    let placements = [
        ("dug-in", Placement::DugIn),
        ("on-the-surface", Placement::OnTheSurface),
    ];
    let answer = doses::plan(&DoseCase {
        rate: case.read("rate")?,
        area: case.read("area")?,
        placement: case.choice("placement", &placements)?,
        is_sandy: case.flag_if("sandy")?.unwrap_or(false),
        first_on: case.read("first_on")?,
        manure_on: days(case, "manure_on")?,
        crop_on: case.read_if("crop_on")?,
        test_on: case.read_if("test_on")?,
        units: case.units()?,
    })?;
    Printed::of(&answer)
}

/// The days of a list that may be left out.
fn days(case: &Case, field: &'static str) -> Result<Vec<Day>, BadInput> {
    if case.has(field) {
        case.read_each(field)
    } else {
        Ok(Vec::new())
    }
}

fn run_ph_target(case: &Case) -> Result<Printed, TopicError> {
    let crops = case.words_each("crops")?;
    let next_year = if case.has("next_year") {
        case.words_each("next_year")?
    } else {
        Vec::new()
    };
    let crops: Vec<&str> = crops.iter().map(String::as_str).collect();
    let next_year: Vec<&str> = next_year.iter().map(String::as_str).collect();
    Printed::of(&bed_target(&crops, &next_year, case.read_if("ph")?)?)
}

fn run_wood_ash(case: &Case) -> Result<Printed, TopicError> {
    let answer = ash::plan(&AshCase {
        need: case.read("need")?,
        ph: case.read("ph")?,
        cce: case.read_if("cce")?,
        potassium: case.choice_if("potassium", &LEVELS)?,
        spread_this_year: case.read_if("spread_this_year")?.unwrap_or_default(),
        keeps_lime_off: case.flag_if("potatoes_or_blueberries")?.unwrap_or(false),
        units: case.units()?,
    })?;
    Printed::of(&answer)
}

fn run_sulfur(case: &Case) -> Result<Printed, TopicError> {
    let answer = sulfur::plan(&SulfurCase {
        ph: case.read("ph")?,
        target: case.read("target")?,
        texture: case.choice("texture", &TEXTURES)?,
        fizzes: case.flag_if("fizzes")?,
        units: case.units()?,
    })?;
    Printed::of(&answer)
}

fn run_gypsum(case: &Case) -> Result<Printed, TopicError> {
    let answer = gypsum::plan(&GypsumCase {
        ph: case.read_if("ph")?,
        target: case.read("target")?,
        calcium: case.choice_if("calcium", &LEVELS)?,
        area: case.read("area")?,
        units: case.units()?,
    })?;
    Printed::of(&answer)
}

fn run_blossom_end_rot(case: &Case) -> Result<Printed, TopicError> {
    let answer = blossom_end_rot::advise(&RotCase {
        ph: case.read_if("ph")?,
        target: case.read("target")?,
        calcium: case.choice_if("calcium", &LEVELS)?,
        area: case.read("area")?,
        units: case.units()?,
    })?;
    Printed::of(&answer)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use serde_json::{Value, json};

    use super::super::run;
    use crate::quantities::{Area, Rate, RateUnit};

    fn result(topic: &str, case: &Value) -> Value {
        let mut result = run(topic, &case.to_string()).unwrap().json["result"].clone();
        // What is shown differs; what was worked out must not.
        result.as_object_mut().unwrap().remove("units");
        result
    }

    proptest! {
        /// The same amounts in metric and customary units give the same answer, to the last microgram.
        #[test]
        fn metric_and_customary_input_agree(tenths in 1_i64..6_000, square_feet in 1_i64..10_000) {
            let rate = Rate::of(tenths * 100, RateUnit::PoundsPer1000SqFt).micrograms_per_m2();
            let area = Area::parse(&format!("{square_feet} sq ft")).unwrap().mm2();
            let metric_rate = format!("{}.{:06} g/m2", rate / 1_000_000, rate % 1_000_000);
            let metric_area = format!("{}.{:06} m2", area / 1_000_000, area % 1_000_000);
            let us_rate = format!("{}.{} lb/1000 sq ft", tenths / 10, tenths % 10);
            let us_area = format!("{square_feet} sq ft");
            for placement in ["dug-in", "on-the-surface"] {
                let doses = |rate: &str, area: &str, units| json!({
                    "rate": rate, "area": area, "placement": placement, "first_on": "2026-10-01", "units": units,
                });
                prop_assert_eq!(
                    result("lime-doses", &doses(&us_rate, &us_area, "us")),
                    result("lime-doses", &doses(&metric_rate, &metric_area, "metric"))
                );
            }
            let ash = |need: &str, units| json!({"need": need, "ph": "5.8", "units": units});
            prop_assert_eq!(result("wood-ash", &ash(&us_rate, "us")), result("wood-ash", &ash(&metric_rate, "metric")));
        }
    }

    #[test]
    fn a_field_of_another_method_is_refused() {
        let case = json!({"ph": "5.5", "target": "6.5", "method": "penn-state", "acidity": "5.2", "buffer_ph": "6.1"});
        let error = run("lime-rate", &case.to_string()).unwrap_err().to_string();
        assert!(
            error.starts_with("field: expected one of acidity, "),
            "{error}"
        );
    }

    #[test]
    fn what_burns_needs_a_word_that_it_is_not_shared() {
        let mut case = json!({"rate": "2 tons/acre", "basis": "standard", "product": "hydrated", "equals_standard_ton": "1400 lb"});
        assert_eq!(
            run("lime-product", &case.to_string()).unwrap_err().code(),
            "outside_the_rule"
        );
        case["not_shared"] = json!(true);
        assert!(run("lime-product", &case.to_string()).is_ok());
    }
}
