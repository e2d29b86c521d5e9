//! Topics over [`crate::shares`]: dividing whole units, bags to buy, a load and a job's hours by bed area, delivery fees, one
//! fence of several uses, settling up.

use std::fmt;

use serde::Serialize;

use super::case::Case;
use super::{Printed, Topic, TopicError};
use crate::quantities::{Area, BadInput, Currency, Mass, Minutes, Money, Rate, Units};
use crate::reckoning::{Reckoning, Source, Step};
use crate::shares::LoadBed;
use crate::shares::apportion::{HAMILTON_IN_WORDS, Method, apportion_by};
use crate::shares::delivery::{self, DeliveryCase, DeliveryRule, Orderer};
use crate::shares::hours::{self, HoursCase};
use crate::shares::load::{self, LoadCase};
use crate::shares::nested::{self, NestedCase};
use crate::shares::packs::{self, Mix, PackSize};
use crate::shares::price_breaks::{self, BreakCase, PriceBreak};
use crate::shares::settle::{self, SettleCase};

pub(super) const TOPICS: &[Topic] = &[
    Topic {
        name: "apportion",
        summary: "Whole units over weights, adding up exactly.",
        example: r#"{"total": 4785, "weights": [100, 100, 64], "method": "hamilton"}"#,
        run: run_apportion,
    },
    Topic {
        name: "cheapest-bags",
        summary: "Which whole bags of several sizes meet a need for the least money.",
        example: r#"{"need": "530 kg", "currency": "EUR", "units": "metric",
            "sizes": [{"mass": "25 kg", "price": "4.90"}, {"mass": "40 kg", "price": "7.20"}]}"#,
        run: run_cheapest_bags,
    },
    Topic {
        name: "load",
        summary: "A bulk load shared by bed area: bags, money and each account's working.",
        example: r#"{"material": "Ground limestone", "rate": "75 lb/1000 sq ft", "bag": "50 lb", "bag_price": "$6.99",
            "delivery": "$12", "currency": "USD", "units": "us",
            "beds": [{"label": "C4", "area": "360 sq ft", "holders": [{"name": "Ines"}]},
                     {"label": "C5", "area": "640 sq ft", "holders": [{"name": "Tomasz", "parts": 2}, {"name": "Wren", "parts": 1}]},
                     {"label": "C6", "area": "1000 sq ft"}]}"#,
        run: run_load,
    },
    Topic {
        name: "hours",
        summary: "The hours of a shared job by bed area, in quarter hours.",
        example: r#"{"title": "Deer fence", "total": "10 h 5 min", "units": "metric",
            "beds": [{"label": "A1", "area": "20 m2", "holders": [{"name": "Ines"}]},
                     {"label": "A2", "area": "10 m2", "holders": [{"name": "Wren"}]}],
            "done": [{"name": "Wren", "time": "3 h"}]}"#,
        run: run_hours,
    },
    Topic {
        name: "price-breaks",
        summary: "How many bags of one size to buy when the price falls with the count.",
        example: r#"{"need": "900 lb", "bag": "50 lb", "currency": "USD", "units": "us",
            "breaks": [{"from": 1, "price": "$6.99"}, {"from": 20, "price": "$5.99"}]}"#,
        run: run_price_breaks,
    },
    Topic {
        name: "delivery",
        summary: "A delivery fee among those who ordered, by one named rule.",
        example: r#"{"fee": "$15", "rule": "by-goods", "currency": "USD",
            "orders": [{"name": "Ines", "goods": "$31"}, {"name": "Wren", "goods": "$19"}, {"name": "Mika", "goods": "$50"}]}"#,
        run: run_delivery,
    },
    Topic {
        name: "nested-use",
        summary: "One fence of which some need only a part: each further slice among those who need it.",
        example: r#"{"currency": "USD",
            "needs": [{"name": "Ines", "cost": "$1500"}, {"name": "Wren", "cost": "$2200"}, {"name": "Mika", "cost": "$3000"}]}"#,
        run: run_nested_use,
    },
    Topic {
        name: "settle",
        summary: "Who pays whom, in the fewest payments.",
        example: r#"{"currency": "USD",
            "balances": [{"name": "Ines", "balance": "-$10"}, {"name": "Wren", "balance": "-$3"}, {"name": "Mika", "balance": "-$3"},
                         {"name": "Tomasz", "balance": "$6"}, {"name": "Ada", "balance": "$5"}, {"name": "Bo", "balance": "$5"}]}"#,
        run: run_settle,
    },
];

const RULES: [(&str, DeliveryRule); 3] = [
    ("equally", DeliveryRule::Equally),
    ("by-goods", DeliveryRule::ByGoods),
    ("by-weight", DeliveryRule::ByWeight),
];

const METHODS: [(&str, Method); 3] = [
    ("hamilton", Method::Hamilton),
    ("webster", Method::Webster),
    ("jefferson", Method::Jefferson),
];

/// Units divided over weights, with what was divided.
#[derive(Serialize)]
struct Parts {
    total: i64,
    parts: Vec<i64>,
}

impl fmt::Display for Parts {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let parts: Vec<String> = self.parts.iter().map(ToString::to_string).collect();
        write!(out, "{} = {}", self.total, parts.join(" + "))
    }
}

fn run_apportion(case: &Case) -> Result<Printed, TopicError> {
    let total = case.whole("total", 0..=i64::MAX)?;
    let weights = case.whole_each("weights", &(0..=i64::MAX))?;
    let method = case
        .choice_if("method", &METHODS)?
        .unwrap_or(Method::Hamilton);
    let parts = apportion_by(method, total, &weights)?;
    let rule = match method {
        Method::Hamilton => HAMILTON_IN_WORDS,
        Method::Webster => "units one by one to the largest weight / (units had + 1/2)",
        Method::Jefferson => "units one by one to the largest weight / (units had + 1)",
    };
    let mut answer = Reckoning::new(
        Parts { total, parts },
        Source::arithmetic("Total and weights as put in."),
    )
    .rounded(format!("By {rule}."));
    for (index, (weight, part)) in weights.iter().zip(answer.result.parts.clone()).enumerate() {
        let label = format!("Number {}, weight {weight}", index + 1);
        answer = answer.step(Step::new(label, part.to_string()));
    }
    Printed::of(&answer.step(Step::sum("Total", total.to_string())))
}

/// A mix of bags with the words for it.
#[derive(Serialize)]
struct Shopping {
    #[serde(flatten)]
    mix: Mix,
    #[serde(skip)]
    sizes: Vec<PackSize>,
    #[serde(skip)]
    currency: Currency,
    #[serde(skip)]
    units: Units,
}

impl fmt::Display for Shopping {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let bought = self.mix.counts.iter().zip(&self.sizes);
        let lines: Vec<String> = bought
            .filter(|(count, _)| **count > 0)
            .map(|(count, size)| format!("{count} × {}", size.mass.show(self.units)))
            .collect();
        write!(
            out,
            "Buy {}: {}, {} left over",
            lines.join(" and "),
            self.mix.price.show(self.currency),
            self.mix.left_over.show(self.units)
        )
    }
}

fn run_cheapest_bags(case: &Case) -> Result<Printed, TopicError> {
    let (currency, units) = (case.currency()?, case.units()?);
    let need: Mass = case.read("need")?;
    let mut sizes = Vec::new();
    for size in case.list("sizes")? {
        sizes.push(PackSize {
            mass: size.read("mass")?,
            price: size.money("price", currency)?,
        });
    }
    let mix = packs::cheapest_mix(need, &sizes)?;
    let mut steps = vec![Step::new("Needed", need.show(units))];
    for (count, size) in mix.counts.iter().zip(&sizes) {
        let price = size.price.show(currency);
        let cost = size.price.checked_times(*count).unwrap_or(Money::ZERO);
        steps.push(Step::new(
            format!("{count} of {} at {price}", size.mass.show(units)),
            cost.show(currency),
        ));
    }
    steps.push(Step::sum("Together", mix.price.show(currency)));
    let shopping = Shopping {
        mix,
        sizes,
        currency,
        units,
    };
    let source = Source::arithmetic("Sizes and prices as put in; every mix was weighed.");
    let mut answer = Reckoning::new(shopping, source)
        .on("The least money; among equally cheap mixes the one that leaves least over.");
    answer.steps = steps;
    Printed::of(&answer)
}

fn run_load(case: &Case) -> Result<Printed, TopicError> {
    let currency = case.currency()?;
    let load = LoadCase {
        material: case.words("material")?,
        rate: case.read::<Rate>("rate")?,
        beds: beds(case)?,
        bag: case.read("bag")?,
        bag_price: case.money("bag_price", currency)?,
        delivery: case.money_if("delivery", currency)?.unwrap_or(Money::ZERO),
        currency,
        units: case.units()?,
    };
    let answer = load::share(&load)?;
    let mut printed = Printed::of(&answer)?;
    for share in &answer.result.accounts {
        let name = match &share.account {
            crate::shares::Account::Member(member) => member.as_str(),
            crate::shares::Account::Garden => "Garden",
        };
        printed.text.push_str(&working_of(name, &share.steps));
    }
    Ok(printed)
}

fn run_hours(case: &Case) -> Result<Printed, TopicError> {
    let job = HoursCase {
        by_area: case.whole_if("by_area", 0..=100)?.unwrap_or(100),
        title: case.words("title")?,
        total: case.read::<Minutes>("total")?,
        beds: beds(case)?,
        units: case.units()?,
    };
    let mut done = Vec::new();
    for entry in case.list_if("done")?.unwrap_or_default() {
        done.push((entry.words("name")?, entry.read::<Minutes>("time")?));
    }
    let answer = hours::share(&job)?.map(|shares| shares.against(&done));
    Printed::of(&answer)
}

fn run_price_breaks(case: &Case) -> Result<Printed, TopicError> {
    let currency = case.currency()?;
    let mut breaks = Vec::new();
    for step in case.list("breaks")? {
        breaks.push(PriceBreak {
            from: step.whole("from", 1..=1_000_000)?,
            each: step.money("price", currency)?,
        });
    }
    let answer = price_breaks::cheapest(&BreakCase {
        need: case.read("need")?,
        bag: case.read("bag")?,
        breaks,
        currency,
        units: case.units()?,
    })?;
    Printed::of(&answer)
}

fn run_delivery(case: &Case) -> Result<Printed, TopicError> {
    let currency = case.currency()?;
    let mut orderers = Vec::new();
    for order in case.list("orders")? {
        orderers.push(Orderer {
            who: order.words("name")?,
            goods: order.money_if("goods", currency)?.unwrap_or(Money::ZERO),
            weight: order.read_if("weight")?.unwrap_or(Mass::ZERO),
        });
    }
    let answer = delivery::share(&DeliveryCase {
        fee: case.money("fee", currency)?,
        rule: case.choice("rule", &RULES)?,
        orderers,
        currency,
    })?;
    Printed::of(&answer)
}

fn run_nested_use(case: &Case) -> Result<Printed, TopicError> {
    let currency = case.currency()?;
    let mut needs = Vec::new();
    for user in case.list("needs")? {
        needs.push((user.words("name")?, user.money("cost", currency)?));
    }
    Printed::of(&nested::share(&NestedCase { needs, currency })?)
}

fn run_settle(case: &Case) -> Result<Printed, TopicError> {
    let currency = case.currency()?;
    let mut balances = Vec::new();
    for person in case.list("balances")? {
        balances.push((person.words("name")?, person.money("balance", currency)?));
    }
    Printed::of(&settle::settle(&SettleCase { balances, currency })?)
}

/// The beds of a case with their holders; nobody for a common bed.
pub(super) fn beds(case: &Case) -> Result<Vec<LoadBed<String, String>>, BadInput> {
    let mut beds = Vec::new();
    for bed in case.list("beds")? {
        let label = bed.words("label")?;
        let mut holders = Vec::new();
        for holder in bed.list_if("holders")?.unwrap_or_default() {
            let parts = holder.whole_if("parts", 1..=1_000)?.unwrap_or(1);
            holders.push((holder.words("name")?, u32::try_from(parts).unwrap_or(1)));
        }
        beds.push(LoadBed {
            bed: label.clone(),
            label,
            area: bed.read::<Area>("area")?,
            holders,
        });
    }
    Ok(beds)
}

/// One account's working under its name.
fn working_of(name: &str, steps: &[Step]) -> String {
    struct Working<'steps>(&'steps [Step]);
    impl fmt::Display for Working<'_> {
        fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
            crate::reckoning::write_working(out, self.0)
        }
    }
    format!("\n{name}\n{}", Working(steps))
}
