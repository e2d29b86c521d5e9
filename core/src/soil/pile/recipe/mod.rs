//! How much of one or two materials brings a pile to its goals.
//!
//! One unknown: Q2 = Q1·(G − M1) / (M2 − G) for moisture G, and in the same way for the ratio R with the pull
//! (100 − M)·(C − R·N) of each material (S20, S22). Two unknowns and both goals: the pair of lines
//!
//! - sum(Q·(M − G)) = 0
//! - sum(Q·(100 − M)·(C − R·N)) = 0
//!
//! solved at once. Water may be one of them: its moisture is 100 and it moves nothing in the second line. A weight below nothing
//! means that the goals cannot be met with these materials; then there is no recipe but the reason and what would help.
//!
//! ```
//! use selion_core::quantities::{CarbonToNitrogen, Mass, Percent, Units};
//! use selion_core::soil::pile::recipe::{self, Goals};
//! use selion_core::soil::pile::{Makeup, Material, Portion};
//!
//! let makeup = |moisture, nitrogen, ratio| {
//!     Makeup::by_ratio(Percent::from_hundredths(moisture), Percent::from_hundredths(nitrogen), CarbonToNitrogen::from_hundredths(ratio))
//! };
//! let straw = Material::analysed("straw", makeup(1_200, 70, 8_000)?);
//! let manure = Material::analysed("hen manure", makeup(6_900, 800, 600)?);
//! let goals = Goals { moisture: Percent::parse("55 %")?, ratio: CarbonToNitrogen::parse("30:1")? };
//! let pile = [Portion { material: straw, mass: Mass::parse("300 lb")? }];
//! let recipe = recipe::add_two(&pile, &manure, &Material::water(), goals, Units::UsCustomary)?;
//! assert!(recipe.to_string().starts_with("Add 155.2 lb of hen manure and 238.4 lb (28.6 gal) of water\n"));
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::super::exact::nearest;
use super::material::HEAVIEST;
use super::mix::{self, Mix};
use super::{Makeup, Material, Portion};
use crate::quantities::{CarbonToNitrogen, Mass, Percent, Units, Volume};
use crate::reckoning::{Reckoning, Refusal, Step};

/// One thing that a pile should reach.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Goal {
    /// So much water.
    Moisture(Percent),
    /// So much carbon to a part of nitrogen.
    Ratio(CarbonToNitrogen),
}

/// Both things that a pile should reach.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Goals {
    /// So much water.
    pub moisture: Percent,
    /// So much carbon to a part of nitrogen.
    pub ratio: CarbonToNitrogen,
}

/// What to add to a pile.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Recipe {
    /// What to add, material by material.
    pub add: Vec<Addition>,
    /// The pile afterwards.
    pub mix: Mix,
}

/// How much of one material to add.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Addition {
    /// Of what.
    pub name: String,
    /// How much, as is.
    pub mass: Mass,
    /// The same by volume, where the bulk density is known.
    pub volume: Option<Volume>,
}

impl fmt::Display for Recipe {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let units = self.mix.units;
        let said = |addition: &Addition| {
            let mass = addition.mass.show(units);
            match addition.volume {
                Some(volume) => format!("{mass} ({}) of {}", volume.show(units), addition.name),
                None => format!("{mass} of {}", addition.name),
            }
        };
        let add: Vec<String> = self.add.iter().map(said).collect();
        write!(out, "Add {}\nMix: {}", add.join(" and "), self.mix)
    }
}

/// How much of one material brings the pile to one goal.
pub fn add_one(
    pile: &[Portion],
    extra: &Material,
    goal: Goal,
    units: Units,
) -> Result<Reckoning<Recipe>, Refusal> {
    mix::checked_sums(pile, units)?;
    check(goal)?;
    let mass = alone(pile, extra, goal).map_err(|hindered| hindered.refusal(pile, extra, goal))?;
    let answer = recipe(pile, &[(extra, mass)], units)?;
    Ok(answer.on(format!("Wanted: {}.", words(goal))))
}

/// How much of two materials brings the pile to both goals.
pub fn add_two(
    pile: &[Portion],
    first: &Material,
    second: &Material,
    goals: Goals,
    units: Units,
) -> Result<Reckoning<Recipe>, Refusal> {
    mix::checked_sums(pile, units)?;
    let (wet, rich) = (Goal::Moisture(goals.moisture), Goal::Ratio(goals.ratio));
    check(wet)?;
    check(rich)?;
    let wanted = format!("{} and {} at once", words(wet), words(rich));
    let cannot = |why: String, helps: String| Refusal::CannotBeMet {
        goal: format!("The goal of {wanted}"),
        why,
        helps,
    };
    // The two lines a·x + b·y = −s, by Cramer's rule.
    let (a1, b1, s1) = (
        pull(first.makeup, wet),
        pull(second.makeup, wet),
        pull_of(pile, wet),
    );
    let (a2, b2, s2) = (
        pull(first.makeup, rich),
        pull(second.makeup, rich),
        pull_of(pile, rich),
    );
    let determinant = a1 * b2 - a2 * b1;
    if determinant == 0 {
        let why = format!(
            "{} and {} pull the pile the same way",
            first.name, second.name
        );
        return Err(cannot(
            why,
            help_of_one(pile, &[first, second], goals, units),
        ));
    }
    let solved = [(first, s2 * b1 - s1 * b2), (second, s1 * a2 - s2 * a1)];
    let mut additions = Vec::new();
    for (material, top) in solved {
        let grams = nearest(top, determinant).unwrap_or(i64::MAX);
        let mass = Mass::from_grams(grams);
        if top.signum() * determinant.signum() < 0 {
            let others: Vec<&Material> = [first, second]
                .into_iter()
                .filter(|other| other.name != material.name)
                .collect();
            let why = format!("it would take {} of {}", mass.show(units), material.name);
            return Err(cannot(why, help_of_one(pile, &others, goals, units)));
        }
        if mass > HEAVIEST {
            let why = format!(
                "it would take more than {} of {}",
                HEAVIEST.show(units),
                material.name
            );
            return Err(cannot(
                why,
                "materials that lie further from the goals".to_owned(),
            ));
        }
        additions.push((material, mass));
    }
    let answer = recipe(pile, &additions, units)?;
    Ok(answer.on(format!("Wanted: {wanted}.")))
}

/// How far a gram of this material pulls the pile from the goal, and to which side.
fn pull(makeup: Makeup, goal: Goal) -> i128 {
    match goal {
        Goal::Moisture(goal) => i128::from(makeup.moisture.hundredths() - goal.hundredths()),
        Goal::Ratio(goal) => {
            makeup.carbon_weight() - i128::from(goal.hundredths()) * makeup.nitrogen_weight()
        }
    }
}

fn pull_of(pile: &[Portion], goal: Goal) -> i128 {
    pile.iter()
        .map(|portion| i128::from(portion.mass.grams()) * pull(portion.material.makeup, goal))
        .sum()
}

/// Why one material does not bring a pile to a goal.
enum Hindered {
    /// It lies on the goal, or moves nothing.
    MovesNothing,
    /// It lies on the side where the pile is already.
    SameSide,
    /// It lies so near the goal that no heap of it would do.
    TooMuch,
}

/// How much of one material brings the pile to one goal.
fn alone(pile: &[Portion], extra: &Material, goal: Goal) -> Result<Mass, Hindered> {
    let (pile, extra) = (pull_of(pile, goal), pull(extra.makeup, goal));
    if pile == 0 {
        return Ok(Mass::ZERO);
    }
    if extra == 0 {
        return Err(Hindered::MovesNothing);
    }
    if pile.signum() == extra.signum() {
        return Err(Hindered::SameSide);
    }
    nearest(-pile, extra)
        .map(Mass::from_grams)
        .filter(|mass| *mass <= HEAVIEST)
        .ok_or(Hindered::TooMuch)
}

impl Hindered {
    fn refusal(&self, pile: &[Portion], extra: &Material, goal: Goal) -> Refusal {
        let above = pull_of(pile, goal) > 0;
        let helps = match (goal, above) {
            (Goal::Moisture(goal), true) => format!("a material that is drier than {goal}"),
            (Goal::Moisture(goal), false) => format!("water, or a material wetter than {goal}"),
            (Goal::Ratio(goal), true) => {
                format!(
                    "a material rich in nitrogen, with a ratio below {goal}, such as manure or grass"
                )
            }
            (Goal::Ratio(goal), false) => {
                format!(
                    "a material rich in carbon, with a ratio above {goal}, such as straw, leaves or sawdust"
                )
            }
        };
        let name = &extra.name;
        let why = match self {
            Self::MovesNothing => format!("{name} does not move the pile either way"),
            Self::SameSide => format!("{name} lies on the same side of the goal as the pile"),
            Self::TooMuch => {
                format!("{name} lies so near the goal that it would take more than 100 t")
            }
        };
        Refusal::CannotBeMet {
            goal: format!("The goal of {}", words(goal)),
            why,
            helps,
        }
    }
}

/// What each of these alone would do for one goal, and where that leaves the other.
fn help_of_one(pile: &[Portion], materials: &[&Material], goals: Goals, units: Units) -> String {
    let mut lines = Vec::new();
    for material in materials {
        for goal in [Goal::Ratio(goals.ratio), Goal::Moisture(goals.moisture)] {
            let Ok(mass) = alone(pile, material, goal) else {
                continue;
            };
            let sums = mix::Sums::of(pile).with(mass, material.makeup);
            let left = match goal {
                Goal::Ratio(_) => format!("{} moisture", sums.moisture()),
                Goal::Moisture(_) => sums
                    .ratio()
                    .map_or_else(|| "no nitrogen".to_owned(), |ratio| format!("C:N {ratio}")),
            };
            let (mass, name) = (mass.show(units), &material.name);
            lines.push(format!(
                "{mass} of {name} alone meets {} at {left}",
                words(goal)
            ));
        }
    }
    lines
        .push("for both, another material on the other side of the goal that is missed".to_owned());
    lines.join("; ")
}

fn words(goal: Goal) -> String {
    match goal {
        Goal::Moisture(goal) => format!("{goal} moisture"),
        Goal::Ratio(goal) => format!("C:N {goal}"),
    }
}

fn check(goal: Goal) -> Result<(), Refusal> {
    match goal {
        Goal::Moisture(goal) if goal <= Percent::ZERO || goal >= Percent::HUNDRED => {
            Err(Refusal::bad(
                "moisture wanted",
                "more than 0 and less than 100 %",
                goal.to_string(),
            ))
        }
        Goal::Ratio(goal) if goal <= CarbonToNitrogen::ZERO => Err(Refusal::bad(
            "carbon to nitrogen wanted",
            "a ratio above 0",
            goal.to_string(),
        )),
        Goal::Moisture(_) | Goal::Ratio(_) => Ok(()),
    }
}

/// The pile with its additions, and the working of the whole mix.
fn recipe(
    pile: &[Portion],
    additions: &[(&Material, Mass)],
    units: Units,
) -> Result<Reckoning<Recipe>, Refusal> {
    let added: Vec<Portion> = additions
        .iter()
        .map(|(material, mass)| Portion {
            material: (*material).clone(),
            mass: *mass,
        })
        .collect();
    let add = added
        .iter()
        .map(|portion| Addition {
            name: portion.material.name.clone(),
            mass: portion.mass,
            volume: portion.volume(),
        })
        .collect();
    let whole: Vec<Portion> = pile.iter().cloned().chain(added).collect();
    let mut answer = mix::of(&whole, units)?.map(|mix| Recipe { add, mix });
    let solved = additions
        .iter()
        .map(|(material, mass)| Step::new(format!("To add: {}", material.name), mass.show(units)));
    answer.steps.splice(0..0, solved);
    Ok(answer.rounded(
        "Additions to the gram, halves up; the mix is reckoned anew from the rounded weights.",
    ))
}

#[cfg(test)]
mod tests;
