//! The form of a bulk order: what was typed, what it means, and what is wrong with it, field by field.
//!
//! [`OrderTyped`] is the form as it stands, kept on the phone while somebody types; [`OrderTyped::read`] makes an order of
//! it, [`OrderTyped::of`] shows one to be changed, [`opened`] and [`changes`] make the edits.

mod edits;
mod kinds;
mod put_in;
mod read;
mod show;
#[cfg(test)]
mod tests;

use std::collections::BTreeSet;

use selion_core::document::ids::{BedId, LineId};
use selion_core::document::records::Number;
use selion_core::json::{record, words};
use selion_core::ordered::Map;
use selion_core::quantities::{Amount, CountedIn, Units};
use selion_core::shares::delivery::DeliveryRule;
use selion_core::shares::load::COMMON_LIME_BRACKET;
use selion_core::shares::order::{HandOut, LeftOver, ShareRule};

pub use edits::{changes, opened};
pub use kinds::Kind;
pub use put_in::{PutIn, put_in, rules_of};
pub use show::own_shown;

/// A field of the form.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each field is described where the order is")]
pub enum OrderBox {
    Title,
    Supplier,
    Delivery,
    Deposit,
    Buyer,
    ClosesOn,
    Arrives,
    /// A field of one line.
    Line(LineId, LineBox),
}

/// A field of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each field is described where the line is")]
pub enum LineBox {
    Material,
    Rate,
    Source,
    Whole,
    /// A bed's own amount.
    Own(BedId),
    /// What is in a pack, by its number.
    Size(Number),
    Price(Number),
    Breaks(Number),
}

/// What is wrong, a sentence a field.
pub type Wrong = Map<OrderBox, String>;

/// What stands in the form, as it was typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[expect(missing_docs, reason = "each field is described where the order is")]
pub struct OrderTyped {
    /// Empty for a title made of the materials.
    pub title: String,
    pub supplier: String,
    pub lines: Map<LineId, LineTyped>,
    pub delivery: String,
    pub delivery_rule: DeliveryRule,
    pub deposit: String,
    pub buyer: String,
    pub closes_on: String,
    pub arrives: String,
}

record!(OrderTyped {
    title,
    supplier,
    lines,
    delivery,
    delivery_rule,
    deposit,
    buyer,
    closes_on,
    arrives,
});

/// One line of the form.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[expect(missing_docs, reason = "each field is described where the line is")]
pub struct LineTyped {
    pub kind: Kind,
    pub material: String,
    pub counted_in: CountedIn,
    pub from: Origin,
    pub rate: String,
    pub source: String,
    pub whole: String,
    /// Each bed's own amount.
    pub own: Map<BedId, String>,
    /// The amounts that `own` was shown from: a text that was left alone means exactly this.
    pub exact: Map<BedId, Amount>,
    pub left_out: BTreeSet<BedId>,
    pub packs: Map<Number, PackTyped>,
    pub loose: bool,
    pub hand_out: HandOut,
    pub rule: ShareRule,
    pub left_over: LeftOver,
}

record!(LineTyped {
    kind,
    material,
    counted_in,
    from,
    rate,
    source,
    whole,
    own,
    exact,
    left_out,
    packs,
    loose,
    hand_out,
    rule,
    left_over,
});

/// A size that something is sold in; of loose material the amount that the price is for.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PackTyped {
    /// What is in one.
    pub size: String,
    /// What one costs.
    pub price: String,
    /// Lower prices from so many on: `10 at 6.50; 40 at 5.99`.
    pub breaks: String,
}

record!(PackTyped {
    size,
    price,
    breaks
});

/// Where the amounts of a line come from, as the form asks for it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Origin {
    /// One rate over the beds.
    #[default]
    Rate,
    /// An amount for each bed, such as from its soil test.
    ByBed,
    /// What members ask for.
    Wishes,
    /// A whole, split by bed area.
    Even,
}

words!(Origin { "rate" => Rate, "by_bed" => ByBed, "wishes" => Wishes, "even" => Even });

impl Origin {
    /// Every way with its name in the form.
    pub const ALL: [(Self, &'static str); 4] = [
        (Self::Rate, "One rate over the beds"),
        (Self::ByBed, "Bed by bed"),
        (Self::Wishes, "What members ask for"),
        (Self::Even, "A whole, split by bed area"),
    ];
}

impl LineTyped {
    /// The size with this number, empty where there is none.
    pub fn pack(&self, number: Number) -> PackTyped {
        self.packs.get(&number).cloned().unwrap_or_default()
    }

    /// Adds a further size to fill in.
    pub fn add_size(&mut self) {
        let last = self.packs.last_key_value();
        let next = last.map_or(Number::from(1), |(number, _)| number.next());
        self.packs.insert(next, PackTyped::default());
    }

    /// The unit that its amounts are meant in when none is typed.
    pub fn unit(&self, units: Units) -> &'static str {
        amount_unit(self.counted_in, units)
    }

    /// The unit of its rate or layer.
    pub fn rate_unit(&self, units: Units) -> &'static str {
        match self.counted_in {
            CountedIn::Volume => layer_unit(units),
            CountedIn::Weight | CountedIn::Pieces => rate_unit(units),
        }
    }
}

/// A rate without a unit is meant in this one.
pub fn rate_unit(units: Units) -> &'static str {
    match units {
        Units::Metric => "g/m²",
        Units::UsCustomary => "lb/1000 sq ft",
    }
}

/// A layer without a unit is meant in this one.
fn layer_unit(units: Units) -> &'static str {
    match units {
        Units::Metric => "cm",
        Units::UsCustomary => "in",
    }
}

/// A weight without a unit is meant in this one.
pub fn mass_unit(units: Units) -> &'static str {
    match units {
        Units::Metric => "kg",
        Units::UsCustomary => "lb",
    }
}

/// An amount without a unit is meant in this one.
pub fn amount_unit(counted_in: CountedIn, units: Units) -> &'static str {
    match (counted_in, units) {
        (CountedIn::Weight, units) => mass_unit(units),
        (CountedIn::Volume, Units::Metric) => "m³",
        (CountedIn::Volume, Units::UsCustomary) => "cu yd",
        (CountedIn::Pieces, _) => "pieces",
    }
}

/// The hint beside the rate: for lime the common bracket, marked as what it is.
pub fn rate_hint(line: &LineTyped, units: Units) -> String {
    if line.counted_in == CountedIn::Volume {
        return match units {
            Units::UsCustomary => "How thick it is to lie, such as 1/2 in.".to_owned(),
            Units::Metric => "How thick it is to lie, such as 2 cm.".to_owned(),
        };
    }
    let written = "Write it as 75 lb/1000 sq ft or 366 g/m2.";
    if line.kind != Kind::Lime {
        return format!("How much goes on how much ground. {written}");
    }
    let (low, high) = COMMON_LIME_BRACKET;
    let low_and_high = match units {
        Units::UsCustomary => "50 to 100 lb per 1000 sq ft".to_owned(),
        Units::Metric => format!("{} to {}", low.show_apart(units).number, high.show(units)),
    };
    format!(
        "From the soil test, if there is one. Lime often lies at {low_and_high} (common practice). {written}"
    )
}
