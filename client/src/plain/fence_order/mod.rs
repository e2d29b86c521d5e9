//! A fence line of the ground as work and material: what it takes, how long it takes, and the order that begins from it.
//!
//! The form for a new order takes its lines from [`new_order`]; the address that leads there is [`order_address`], and
//! [`from_address`] reads it again. The form for a shared job takes [`FencePlan::job_hours`] by way of [`job_address`].

mod address;
mod order;

use selion_core::document::Garden;
use selion_core::document::ids::FenceId;
use selion_core::document::records::FenceLine;
use selion_core::ordered::Map;
use selion_core::quantities::{BadInput, Length, Minutes, Spacing, Units};
use selion_core::reckoning::{Reckoning, Refusal};
use selion_core::work::fence::hours::{self, FenceHours, WorkRate};
use selion_core::work::fence::kinds::{self, KINDS};
use selion_core::work::fence::mesh::Roll;
use selion_core::work::fence::posts::{self, FenceCase, TakeOff};
use selion_core::work::fence::{Gate, Layout};

use super::typed::with_unit;
use super::wording::capital;
pub use address::{from_address, job_address, order_address};
pub use order::new_order;

/// A field of the form.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each is described where the fence is")]
pub enum FenceBox {
    Kind,
    Height,
    InGround,
    Spacing,
    Roll,
    Ties,
    OwnTime,
    OwnLength,
}

/// What stands in the form, as it was typed. A field of the kind that is left empty is as its source prints it.
#[derive(Clone, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "each is described where the fence is")]
pub struct FenceTyped {
    pub kind: String,
    pub height: String,
    pub in_ground: String,
    pub spacing: String,
    pub roll: String,
    pub ties: String,
    /// `hand`, `machines` or `own`.
    pub rate: String,
    pub own_time: String,
    pub own_length: String,
}

impl Default for FenceTyped {
    fn default() -> Self {
        let [first, ..] = KINDS;
        let empty = String::new;
        Self {
            kind: first.name.to_owned(),
            height: empty(),
            in_ground: empty(),
            spacing: empty(),
            roll: empty(),
            ties: empty(),
            rate: BY_HAND.to_owned(),
            own_time: empty(),
            own_length: empty(),
        }
    }
}

/// Built by hand: a guess.
pub const BY_HAND: &str = "hand";
/// Built by experienced people with machines, as printed.
pub const WITH_MACHINES: &str = "machines";
/// The garden's own rate.
pub const OWN: &str = "own";

/// What a fence line takes.
#[derive(Clone, Debug, PartialEq)]
pub struct FencePlan {
    /// What it is called.
    pub label: String,
    /// Posts, mesh and ties, with their working.
    pub take_off: Reckoning<TakeOff>,
    /// How long it takes, with its working.
    pub hours: Reckoning<FenceHours>,
}

/// Why there is no plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoPlan {
    /// Fields that cannot be read, each with its sentence.
    Fields(Map<FenceBox, String>),
    /// What was typed cannot be worked out as it stands.
    Refused(String),
}

impl From<Refusal> for NoPlan {
    fn from(refusal: Refusal) -> Self {
        Self::Refused(refusal.to_string())
    }
}

/// The fence lines that stand or are planned, by label.
pub fn fences(garden: &Garden) -> Vec<(FenceId, String, Length)> {
    let standing = garden
        .fence_lines
        .iter()
        .filter(|(_, fence)| fence.ended_on.is_none());
    standing
        .map(|(id, fence)| (*id, fence.label.clone(), fence.line.length()))
        .collect()
}

/// A fence line that was not taken down.
pub fn fence(garden: &Garden, fence: FenceId) -> Option<&FenceLine> {
    let found = garden.fence_lines.get(&fence).map(AsRef::as_ref);
    found.filter(|fence| fence.ended_on.is_none())
}

/// What the fence takes, as typed.
pub fn plan(fence: &FenceLine, typed: &FenceTyped, units: Units) -> Result<FencePlan, NoPlan> {
    let layout = layout(fence).map_err(|bad| NoPlan::Refused(capital(&bad.to_string())))?;
    let length = layout.fence();
    let (case, rate) = typed.read(layout, units).map_err(NoPlan::Fields)?;
    Ok(FencePlan {
        label: fence.label.clone(),
        take_off: posts::take_off(&case)?,
        hours: hours::needed(length, rate, units)?,
    })
}

fn layout(fence: &FenceLine) -> Result<Layout, BadInput> {
    let gates: Vec<Gate> = fence
        .gates_in_order()
        .into_iter()
        .map(|gate| Gate {
            at: gate.at,
            width: gate.width,
        })
        .collect();
    Layout::drawn(&fence.line, &gates)
}

/// What is read of one field: nothing where it is left empty.
struct Reading(Map<FenceBox, String>);

impl Reading {
    fn take<T>(
        &mut self,
        of: FenceBox,
        typed: &str,
        read: impl FnOnce(&str) -> Result<T, BadInput>,
    ) -> Option<T> {
        let typed = typed.trim();
        if typed.is_empty() {
            return None;
        }
        read(typed)
            .map_err(|bad| self.0.insert(of, capital(&bad.to_string())))
            .ok()
    }
}

impl FenceTyped {
    fn read(
        &self,
        layout: Layout,
        units: Units,
    ) -> Result<(FenceCase, WorkRate), Map<FenceBox, String>> {
        let mut reading = Reading(Map::new());
        let length = |text: &str| Length::parse(&with_unit(text, unit(units)));
        let kind = reading.take(FenceBox::Kind, &self.kind, kinds::find);
        let height = reading.take(FenceBox::Height, &self.height, length);
        let in_ground = reading.take(FenceBox::InGround, &self.in_ground, length);
        let spacing = reading.take(FenceBox::Spacing, &self.spacing, |text| {
            Spacing::parse(&with_unit(text, unit(units)))
        });
        let roll = reading.take(FenceBox::Roll, &self.roll, length);
        let ties = reading.take(FenceBox::Ties, &self.ties, |text| {
            let number = text
                .parse::<i64>()
                .ok()
                .filter(|ties| (0..=100).contains(ties));
            number.ok_or_else(|| BadInput::new("ties on a post", "a whole number up to 100", text))
        });
        let rate = self.rate(&mut reading, units);
        if !reading.0.is_empty() {
            return Err(reading.0);
        }
        let case = FenceCase {
            kind,
            height,
            in_ground,
            spacing,
            ties_per_post: ties,
            roll: roll.map(|length| Roll {
                length,
                overlap: Length::ZERO,
                wrap: Length::ZERO,
            }),
            ..FenceCase::of(layout, units)
        };
        Ok((case, rate))
    }

    fn rate(&self, reading: &mut Reading, units: Units) -> WorkRate {
        match self.rate.as_str() {
            WITH_MACHINES => WorkRate::WithMachines,
            OWN => {
                let needed = |text: &str, what: &'static str| {
                    if text.trim().is_empty() {
                        what.to_owned()
                    } else {
                        text.to_owned()
                    }
                };
                let time = needed(&self.own_time, "how long");
                let time = reading.take(FenceBox::OwnTime, &time, |text| {
                    Minutes::parse(&with_unit(text, "h"))
                });
                let length = needed(&self.own_length, "how far");
                let length = reading.take(FenceBox::OwnLength, &length, |text| {
                    Length::parse(&with_unit(text, unit(units)))
                });
                match (time, length) {
                    (Some(time), Some(length)) => WorkRate::Own(time, length),
                    _ => WorkRate::ByHand,
                }
            }
            _ => WorkRate::ByHand,
        }
    }
}

/// The unit that a bare length is meant in.
pub fn unit(units: Units) -> &'static str {
    match units {
        Units::Metric => "m",
        Units::UsCustomary => "ft",
    }
}

impl FencePlan {
    fn gates(&self) -> usize {
        usize::try_from(self.take_off.result.gate_posts / 2).unwrap_or(0)
    }

    /// The hours that a shared job begins with: the most, in the form in which a job's hours are typed.
    pub fn job_hours(&self) -> String {
        self.hours.result.most.show()
    }
}

#[cfg(test)]
mod tests {
    use selion_core::document::records;
    use selion_core::geometry::Line;

    use super::*;

    /// 100 ft by 60 ft around, with a gate of 12 ft: 308 ft of fence.
    pub(super) fn around() -> FenceLine {
        let line = Line::parse("LINESTRING(0 0,30480 0,30480 18288,0 18288,0 0)").unwrap();
        let gate = records::Gate {
            at: Length::parse("40 ft").unwrap(),
            width: Length::parse("12 ft").unwrap(),
        };
        FenceLine {
            label: "Deer fence".into(),
            line,
            gates: Map::from([("1".to_owned(), gate)]),
            ended_on: None,
        }
    }

    pub(super) fn typed() -> FenceTyped {
        FenceTyped {
            roll: "330".into(),
            ties: "6".into(),
            ..FenceTyped::default()
        }
    }

    #[test]
    fn the_hours_say_that_they_are_a_guess_and_take_the_gardens_own_rate() {
        let by_hand = plan(&around(), &typed(), Units::UsCustomary).unwrap();
        assert_eq!(
            by_hand.hours.result.to_string(),
            "14 h 42 min to 29 h 24 min of work"
        );
        assert_eq!(by_hand.job_hours(), "29 h 24 min");
        let own = FenceTyped {
            rate: OWN.into(),
            own_time: "5".into(),
            own_length: "77".into(),
            ..typed()
        };
        let own = plan(&around(), &own, Units::UsCustomary).unwrap();
        assert_eq!(own.job_hours(), "20 h");
    }

    #[test]
    fn what_cannot_be_read_says_so_beside_its_field_and_what_no_source_prints_is_asked_for() {
        let wrong = FenceTyped {
            height: "tall".into(),
            ties: "many".into(),
            rate: OWN.into(),
            ..typed()
        };
        let Err(NoPlan::Fields(wrong)) = plan(&around(), &wrong, Units::Metric) else {
            panic!("three fields are wrong");
        };
        let fields: Vec<FenceBox> = wrong.into_keys().collect();
        assert_eq!(
            fields,
            [
                FenceBox::Height,
                FenceBox::Ties,
                FenceBox::OwnTime,
                FenceBox::OwnLength
            ]
        );
        let mesh = FenceTyped {
            kind: "deer, poly mesh".into(),
            ..typed()
        };
        let Err(NoPlan::Refused(words)) = plan(&around(), &mesh, Units::Metric) else {
            panic!("no depth is printed for it");
        };
        assert!(words.contains("put in the own one"), "{words}");
    }
}
