//! Liming materials: how strong a product is, and how much of it stands for a rate.
//!
//! `product = rate × basis / value`, the value being the one number of the label that the rate's basis asks for: the CCE, an
//! effective value by a named scheme, or the pounds that equal a ton of standard lime. Once, never twice. Pelleted lime is
//! finely ground stone with a binder: its own label counts and nothing more, a tenth of the rate is a tenth of the lime.
//!
//! ```
//! use selion_core::quantities::{Percent, Rate, Units};
//! use selion_core::soil::lime::LimeBasis;
//! use selion_core::soil::liming_material::{Product, ProductKind, product_rate};
//!
//! let lime = Product { cce: Some(Percent::parse("80 %")?), ..Product::of(ProductKind::Ground) };
//! let rate = Rate::parse("75 lb/1000 sq ft")?;
//! let answer = product_rate(rate, LimeBasis::CalciumCarbonateEquivalent, &lime, Units::UsCustomary)?;
//! assert_eq!(answer.result.rate.show(Units::UsCustomary), "93.8 lb/1000 sq ft");
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

pub mod compound;
pub mod fineness;
mod kind;

use std::fmt;

use serde::Serialize;

use super::lime::LimeBasis;
use crate::json::words;
use crate::quantities::{Mass, Percent, Rate, Units};
use crate::reckoning::{Caution, Reckoning, Refusal, Source, Step};

pub use fineness::Scheme;
pub use kind::{StoneKind, kind_of_stone};

/// The weakest and the strongest that a liming material can be.
const BELIEVABLE: (Percent, Percent) = (
    Percent::from_hundredths(500),
    Percent::from_hundredths(25_000),
);

/// What kind of liming product it is; somebody has to choose, since they are handled very differently.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ProductKind {
    /// Ground limestone, calcitic or dolomitic.
    Ground,
    /// Ground limestone made into pellets.
    Pelletized,
    /// Hydrated lime, calcium hydroxide: burns skin and lungs.
    Hydrated,
    /// Quicklime, calcium oxide: boils with water.
    Quicklime,
}

words!(ProductKind {
    "ground" => Ground,
    "pelletized" => Pelletized,
    "hydrated" => Hydrated,
    "quicklime" => Quicklime,
});

/// A liming product by its label.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Product {
    /// What kind of product it is.
    pub kind: ProductKind,
    /// Calcium carbonate equivalent.
    pub cce: Option<Percent>,
    /// An effective value, with the scheme that it is by.
    pub effective: Option<(Scheme, Percent)>,
    /// What equals a ton (2000 lb) of standard agricultural lime.
    pub equals_standard_ton: Option<Mass>,
}

impl Product {
    /// A product of which nothing but its kind is known.
    pub fn of(kind: ProductKind) -> Self {
        Self {
            kind,
            cce: None,
            effective: None,
            equals_standard_ton: None,
        }
    }
}

/// How much of a product stands for a rate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct ProductRate {
    /// What kind of product it is.
    pub kind: ProductKind,
    /// How much of it goes on how much ground.
    pub rate: Rate,
    /// The garden's units.
    pub units: Units,
}

impl ProductKind {
    /// Its name for people.
    pub fn words(self) -> &'static str {
        match self {
            Self::Ground => "ground limestone",
            Self::Pelletized => "pelletized lime",
            Self::Hydrated => "hydrated lime",
            Self::Quicklime => "quicklime",
        }
    }

    /// Whether several people may order and spread it together; hydrated lime and quicklime stay out.
    pub fn check_for_shared_order(self) -> Result<(), Refusal> {
        match self {
            Self::Ground | Self::Pelletized => Ok(()),
            Self::Hydrated | Self::Quicklime => Err(Refusal::OutsideTheRule {
                field: "product".to_owned(),
                bounds: "ground or pelletized limestone in a shared garden, since the others burn skin, eyes and lungs"
                    .to_owned(),
                came: self.words().to_owned(),
            }),
        }
    }
}

/// How much of this product stands for a rate on this basis.
pub fn product_rate(
    rate: Rate,
    basis: LimeBasis,
    product: &Product,
    units: Units,
) -> Result<Reckoning<ProductRate>, Refusal> {
    let of = |rate| ProductRate {
        kind: product.kind,
        rate,
        units,
    };
    let asked = Step::new(format!("Asked for, of {}", basis.words()), rate.show(units));
    let source = Source::published(
        "Product for a rate: Penn State soil report notes; North Carolina liming tips, 22 November 2005 \
         [PSU-LAWN, NCDA-05].",
    );
    if !rate.is_positive() {
        return Ok(Reckoning::new(of(Rate::ZERO), source).step(asked));
    }
    let factor = factor(basis, product)?;
    let scaled = rate
        .scaled(factor.top, factor.bottom)
        .ok_or_else(|| Refusal::bad("rate", "a rate that can be stored", rate.show(units)))?;
    let mut answer = Reckoning::new(of(scaled), source)
        .step(asked)
        .step(Step::new(factor.label, factor.value))
        .step(Step::sum(
            format!("Of {}", product.kind.words()),
            scaled.show(units),
        ))
        .on("The label's number that the basis asks for, once: by CCE or by the effective value, never by both.")
        .rounded("To the nearest microgram a square metre; shown to the tenth.");
    if product.kind == ProductKind::Pelletized {
        answer = answer.on("Pellets are the same stone, finely ground: they replace it by their label, not at a tenth of the rate.");
    }
    Ok(answer.caution(Caution::LimeDust))
}

/// The same rate as pure, fine limestone, for a product whose effective value is known.
pub fn pure_equivalent(product: Rate, value: Percent) -> Option<Rate> {
    product.scaled(value.hundredths(), Percent::HUNDRED.hundredths())
}

/// What a rate is multiplied by, and how that is said.
struct Factor {
    top: i64,
    bottom: i64,
    label: String,
    value: String,
}

fn factor(basis: LimeBasis, product: &Product) -> Result<Factor, Refusal> {
    match basis {
        LimeBasis::ProductAsSold => Ok(Factor {
            top: 1,
            bottom: 1,
            label: "Meant as it comes out of the bag".to_owned(),
            value: "× 1".to_owned(),
        }),
        LimeBasis::CalciumCarbonateEquivalent => {
            let cce = product
                .cce
                .ok_or_else(|| not_on_label("CCE (calcium carbonate equivalent)"))?;
            percent_factor(Percent::HUNDRED, cce, "CCE")
        }
        LimeBasis::Effective { scheme, value } => match product.effective {
            Some((own, percent)) if own == scheme => percent_factor(value, percent, scheme.words()),
            Some((own, _)) => Err(Refusal::OutsideTheRule {
                field: "effective value".to_owned(),
                bounds: format!("a value by {}", scheme.words()),
                came: own.words().to_owned(),
            }),
            None => Err(not_on_label(scheme.words())),
        },
        LimeBasis::StandardAgriculturalLime => {
            let label = product.equals_standard_ton.ok_or_else(|| {
                not_on_label("weight that equals a ton of standard agricultural lime")
            })?;
            let believable = (Mass::from_grams(200_000), Mass::from_grams(2_000_000));
            if label < believable.0 || label > believable.1 {
                return Err(Refusal::bad(
                    "weight that equals a ton of standard lime",
                    "from 200 to 2000 kg, as on a label",
                    label.show(Units::Metric),
                ));
            }
            Ok(Factor {
                top: label.grams(),
                // 2000 lb to the gram.
                bottom: 907_185,
                label: "Equal to a ton (2000 lb) of standard lime".to_owned(),
                value: label.show(Units::UsCustomary),
            })
        }
    }
}

fn percent_factor(wanted: Percent, has: Percent, name: &str) -> Result<Factor, Refusal> {
    if has < BELIEVABLE.0 || has > BELIEVABLE.1 {
        return Err(Refusal::bad(
            name,
            "from 5 to 250 %, as on a label",
            has.to_string(),
        ));
    }
    Ok(Factor {
        top: wanted.hundredths(),
        bottom: has.hundredths(),
        label: format!("Product's {name}"),
        value: has.to_string(),
    })
}

fn not_on_label(what: &str) -> Refusal {
    Refusal::Missing {
        what: format!("The product's {what}"),
        why: "the rate's basis asks for it; it stands on the label".to_owned(),
    }
}

impl fmt::Display for ProductRate {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.rate.is_positive() {
            write!(
                out,
                "{} of {}",
                self.rate.show(self.units),
                self.kind.words()
            )
        } else {
            out.write_str("No lime")
        }
    }
}

#[cfg(test)]
mod tests;
