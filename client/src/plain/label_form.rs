//! The labels of the garden's lime and compost: what was typed, what it means, and what is wrong with it.

use selion_core::document::Garden;
use selion_core::document::records::{GardenCompost, GardenLime};
use selion_core::ordered::Map;
use selion_core::quantities::{BadInput, Currency, Density, Mass, Money, Percent, Units};
use selion_core::soil::compost::ceiling::Origin;
use selion_core::soil::liming_material::{ProductKind, Scheme};

use super::order_form::mass_unit;
use super::typed::with_unit;
use super::wording::capital;

/// A field of the form.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each field is described where the label is")]
pub enum LabelBox {
    Name,
    Kind,
    Cce,
    Scheme,
    Effective,
    StandardTon,
    Bag,
    BagPrice,
    Compost,
    CompostDensity,
    CompostPhosphate,
}

/// The kinds of liming product that a shared garden may have.
pub const KINDS: &[(&str, &str)] = &[
    ("ground", "Ground limestone"),
    ("pellets", "Pelletized lime"),
];
/// The schemes of effective values.
pub const SCHEMES: &[(&str, &str)] = &[
    ("", "None on the label"),
    ("ecce", "ECCE"),
    ("enp", "ENP, % of 2000 lb/ton"),
    ("new_york", "ENV (New York)"),
    ("mississippi", "RNV (Mississippi)"),
    ("oregon", "Lime score (Oregon)"),
];
/// What compost is made of.
pub const COMPOSTS: &[(&str, &str)] = &[
    ("", "Nobody can say; taken as with manure"),
    ("plants", "Compost of plants alone"),
    ("manure", "Compost with manure"),
];

impl LabelBox {
    /// Every field, in its order.
    pub const ALL: [Self; 11] = [
        Self::Name,
        Self::Kind,
        Self::Cce,
        Self::Scheme,
        Self::Effective,
        Self::StandardTon,
        Self::Bag,
        Self::BagPrice,
        Self::Compost,
        Self::CompostDensity,
        Self::CompostPhosphate,
    ];

    /// What is asked for.
    pub fn label(self) -> &'static str {
        match self {
            Self::Name => "Name of the lime",
            Self::Kind => "Kind",
            Self::Cce => "CCE, %",
            Self::Scheme => "Effective value by",
            Self::Effective => "Effective value, %",
            Self::StandardTon => "Equals a ton of standard lime",
            Self::Bag => "In one bag",
            Self::BagPrice => "Price of a bag",
            Self::Compost => "The compost is",
            Self::CompostDensity => "It weighs",
            Self::CompostPhosphate => "Phosphate in it, %",
        }
    }

    /// A sentence of help.
    pub fn help(self) -> &'static str {
        match self {
            Self::Name => "As on the bag. Empty: nothing is bought yet.",
            Self::Cce => "Calcium carbonate equivalent, from the label.",
            Self::StandardTon => "The weight on the label, such as 1,900 lb; North Carolina.",
            Self::CompostDensity => "From one full bucket, such as 1000 lb/cu yd.",
            Self::CompostPhosphate => "P2O5 as is, from the supplier’s analysis.",
            Self::Kind
            | Self::Scheme
            | Self::Effective
            | Self::Bag
            | Self::BagPrice
            | Self::Compost => "",
        }
    }
}

/// What stands in the form.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LabelTyped(Map<LabelBox, String>);

/// What is wrong, a sentence a field.
pub type Wrong = Map<LabelBox, String>;

impl LabelTyped {
    /// The labels as they stand.
    pub fn of(garden: &Garden) -> Self {
        let mut typed = Self::default();
        typed.put(LabelBox::Kind, "ground".to_owned());
        let Some(profile) = garden.profile.as_ref() else {
            return typed;
        };
        let units = profile.units;
        if let Some(lime) = &profile.lime {
            typed.put(LabelBox::Name, lime.name.clone());
            if lime.kind == ProductKind::Pelletized {
                typed.put(LabelBox::Kind, "pellets".to_owned());
            }
            typed.show(LabelBox::Cce, lime.cce.map(|cce| cce.to_string()));
            typed.show(
                LabelBox::Scheme,
                lime.scheme.map(|scheme| scheme_key(scheme).to_owned()),
            );
            typed.show(
                LabelBox::Effective,
                lime.effective.map(|value| value.to_string()),
            );
            typed.show(
                LabelBox::StandardTon,
                lime.equals_standard_ton.map(|mass| mass.show(units)),
            );
            typed.show(LabelBox::Bag, lime.bag.map(|bag| bag.show(units)));
            let price = lime.bag_price;
            typed.show(
                LabelBox::BagPrice,
                price.map(|price| price.show_number(profile.currency)),
            );
        }
        if let Some(compost) = &profile.compost {
            let key = match compost.origin {
                Origin::Plants => "plants",
                Origin::Manure => "manure",
                Origin::Unknown => "",
            };
            typed.put(LabelBox::Compost, key.to_owned());
            let density = compost.density.map(|density| density.show(units));
            typed.show(LabelBox::CompostDensity, density);
            let phosphate = compost.phosphate.map(|value| value.to_string());
            typed.show(LabelBox::CompostPhosphate, phosphate);
        }
        typed
    }

    /// What stands in a field.
    pub fn at(&self, of: LabelBox) -> &str {
        self.0.get(&of).map_or("", |text| text.trim())
    }

    /// Puts something into a field.
    pub fn put(&mut self, of: LabelBox, text: String) {
        self.0.insert(of, text);
    }

    fn show(&mut self, of: LabelBox, text: Option<String>) {
        self.put(of, text.unwrap_or_default());
    }

    /// The labels that were typed; a lime without a name is none, and so is compost of which nothing is said.
    pub fn read(
        &self,
        units: Units,
        currency: Currency,
    ) -> Result<(Option<GardenLime>, Option<GardenCompost>), Wrong> {
        let mut wrong = Wrong::new();
        let mut percent = |of| self.if_typed(&mut wrong, of, Percent::parse);
        let (cce, effective) = (percent(LabelBox::Cce), percent(LabelBox::Effective));
        let phosphate = percent(LabelBox::CompostPhosphate);
        let mut mass = |of| {
            let parse = |text: &str| Mass::parse(&with_unit(text, mass_unit(units)));
            self.if_typed(&mut wrong, of, parse)
        };
        let (equals_standard_ton, bag) = (mass(LabelBox::StandardTon), mass(LabelBox::Bag));
        let price = |text: &str| Money::parse(text, currency);
        let bag_price = self.if_typed(&mut wrong, LabelBox::BagPrice, price);
        let density = self.if_typed(&mut wrong, LabelBox::CompostDensity, Density::parse);
        let scheme = scheme(self.at(LabelBox::Scheme));
        if scheme.is_some() == self.at(LabelBox::Effective).is_empty() {
            let bad = BadInput::new(
                "effective value",
                "a value together with its scheme",
                "one of them",
            );
            wrong.insert(LabelBox::Effective, capital(&bad.to_string()));
        }
        if !wrong.is_empty() {
            return Err(wrong);
        }
        let name = self.at(LabelBox::Name);
        let lime = (!name.is_empty()).then(|| GardenLime {
            name: name.to_owned(),
            kind: if self.at(LabelBox::Kind) == "pellets" {
                ProductKind::Pelletized
            } else {
                ProductKind::Ground
            },
            cce,
            scheme,
            effective,
            equals_standard_ton,
            bag,
            bag_price,
        });
        let origin = match self.at(LabelBox::Compost) {
            "plants" => Origin::Plants,
            "manure" => Origin::Manure,
            _ => Origin::Unknown,
        };
        let is_said = origin != Origin::Unknown || density.is_some() || phosphate.is_some();
        let compost = is_said.then_some(GardenCompost {
            origin,
            density,
            phosphate,
        });
        Ok((lime, compost))
    }

    fn if_typed<T>(
        &self,
        wrong: &mut Wrong,
        of: LabelBox,
        parse: impl Fn(&str) -> Result<T, BadInput>,
    ) -> Option<T> {
        let text = self.at(of);
        if text.is_empty() {
            return None;
        }
        parse(text)
            .map_err(|bad| wrong.insert(of, capital(&bad.to_string())))
            .ok()
    }
}

/// The garden's lime in a line.
pub fn lime_words(lime: Option<&GardenLime>, units: Units) -> String {
    let Some(lime) = lime else {
        return "Nothing chosen yet; its label is asked for where a rate needs it".to_owned();
    };
    let mut words = lime.name.clone();
    let effective = lime.scheme.zip(lime.effective);
    let parts = [
        lime.cce.map(|cce| format!("CCE {cce}")),
        effective.map(|(scheme, value)| format!("{value} {}", scheme.words())),
        lime.bag.map(|bag| format!("bags of {}", bag.show(units))),
    ];
    for part in parts.into_iter().flatten() {
        words.push_str(" · ");
        words.push_str(&part);
    }
    words
}

fn scheme(key: &str) -> Option<Scheme> {
    match key {
        "ecce" => Some(Scheme::Ecce),
        "enp" => Some(Scheme::Enp),
        "new_york" => Some(Scheme::NewYorkEnv),
        "mississippi" => Some(Scheme::MississippiRnv),
        "oregon" => Some(Scheme::OregonLimeScore),
        _ => None,
    }
}

fn scheme_key(scheme: Scheme) -> &'static str {
    match scheme {
        Scheme::Ecce => "ecce",
        Scheme::Enp => "enp",
        Scheme::NewYorkEnv => "new_york",
        Scheme::MississippiRnv => "mississippi",
        Scheme::OregonLimeScore => "oregon",
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::plain::sample::garden;

    fn dollars() -> Currency {
        Currency::new("USD").unwrap()
    }

    fn typed(fields: &[(LabelBox, &str)]) -> LabelTyped {
        let mut typed = LabelTyped::default();
        for (of, text) in fields {
            typed.put(*of, (*text).to_owned());
        }
        typed
    }

    #[test]
    fn a_label_shown_and_read_again_has_not_changed() {
        let fields = [
            (LabelBox::Name, "Hill quarry"),
            (LabelBox::Kind, "pellets"),
            (LabelBox::Cce, "92"),
            (LabelBox::Scheme, "oregon"),
            (LabelBox::Effective, "87 %"),
            (LabelBox::Bag, "50"),
            (LabelBox::BagPrice, "6.99"),
            (LabelBox::Compost, "plants"),
            (LabelBox::CompostDensity, "1000 lb/cu yd"),
        ];
        let read = typed(&fields).read(Units::UsCustomary, dollars()).unwrap();
        let mut garden = garden();
        let profile = Arc::make_mut(garden.profile.as_mut().unwrap());
        (profile.lime, profile.compost) = read.clone();
        let again = LabelTyped::of(&garden);
        assert_eq!(again.read(Units::UsCustomary, dollars()), Ok(read.clone()));
        let words = lime_words(read.0.as_ref(), Units::UsCustomary);
        assert_eq!(
            words,
            "Hill quarry · CCE 92 % · 87 % lime score (Oregon) · bags of 50.0 lb"
        );
    }

    #[test]
    fn nothing_said_is_nothing_kept() {
        let nothing = typed(&[(LabelBox::Kind, "ground")]);
        assert_eq!(nothing.read(Units::Metric, dollars()), Ok((None, None)));
    }

    #[test]
    fn a_value_without_its_scheme_is_asked_about() {
        let alone = typed(&[(LabelBox::Name, "Lime"), (LabelBox::Effective, "87")]);
        let wrong = alone.read(Units::Metric, dollars()).unwrap_err();
        assert!(wrong.contains_key(&LabelBox::Effective));
        let other = typed(&[(LabelBox::Cce, "strong"), (LabelBox::Bag, "heavy")]);
        let wrong = other.read(Units::Metric, dollars()).unwrap_err();
        assert_eq!(wrong.len(), 2);
    }
}
