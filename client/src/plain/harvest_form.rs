//! Writing down a picking: how much, and what became of each part. One part follows the others, so they always add up.

use selion_core::document::edit::NewHarvest;
use selion_core::document::ids::{BedId, PlantingId, RecipientId, TurnId};
use selion_core::document::picked_in::{self, PickedIn};
use selion_core::document::records::{Harvest, PlantingState, RecipientKind};
use selion_core::document::season_plan::Books;
use selion_core::document::{Garden, manure_days};
use selion_core::ordered::Map;
use selion_core::quantities::{BadInput, Day, Units};
use selion_core::reckoning::Refusal;
use selion_core::season::giving::Receiver;

/// What can become of a part.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Became {
    /// Kept by whoever picked.
    #[default]
    Kept,
    /// Shared among the people of the garden.
    Shared,
    /// Given to somebody on the list.
    Given(RecipientId),
    /// Given to somebody else.
    GivenOtherwise,
    /// Lost.
    Lost,
}

impl Became {
    /// Its name in a list to choose from.
    pub fn key(self) -> String {
        match self {
            Self::Kept => "kept".to_owned(),
            Self::Shared => "shared".to_owned(),
            Self::Given(recipient) => recipient.to_string(),
            Self::GivenOtherwise => "given".to_owned(),
            Self::Lost => "lost".to_owned(),
        }
    }

    /// What stands behind a name.
    pub fn of_key(key: &str) -> Self {
        match key {
            "shared" => Self::Shared,
            "given" => Self::GivenOtherwise,
            "lost" => Self::Lost,
            other => other.parse().map_or(Self::Kept, Self::Given),
        }
    }

    /// In words, such as `given to The pantry`.
    pub fn words(self, garden: &Garden) -> String {
        match self {
            Self::Kept => "kept".to_owned(),
            Self::Shared => "shared".to_owned(),
            Self::Given(recipient) => format!("given to {}", recipient_name(garden, recipient)),
            Self::GivenOtherwise => "given to somebody else".to_owned(),
            Self::Lost => "lost".to_owned(),
        }
    }

    /// Who is to eat it, when it is not whoever picked.
    pub fn receiver(self, garden: &Garden) -> Option<Receiver> {
        match self {
            Self::Kept | Self::Lost => None,
            Self::Shared => Some(Receiver::Garden),
            Self::GivenOtherwise => Some(Receiver::Other),
            Self::Given(recipient) => {
                let kind = garden.recipients.get(&recipient).map(|found| found.kind);
                Some(match kind {
                    Some(RecipientKind::Nonprofit) => Receiver::Nonprofit,
                    Some(RecipientKind::Neighbour) | None => Receiver::Other,
                })
            }
        }
    }
}

/// What somebody who is given of the harvest is called.
pub fn recipient_name(garden: &Garden, recipient: RecipientId) -> &str {
    let found = garden.recipients.get(&recipient);
    found.map_or("somebody who is not on the list here", |found| &found.name)
}

/// Everything that can become of a part in this garden, in the order of the form.
pub fn ways(garden: &Garden) -> Vec<Became> {
    let open = garden
        .recipients
        .iter()
        .filter(|(_, recipient)| recipient.ended_on.is_none());
    let mut named: Vec<_> = open
        .map(|(id, recipient)| (recipient.name.to_lowercase(), Became::Given(*id)))
        .collect();
    named.sort();
    let named = named.into_iter().map(|(_, way)| way);
    [Became::Kept, Became::Shared]
        .into_iter()
        .chain(named)
        .chain([Became::GivenOtherwise, Became::Lost])
        .collect()
}

/// The units that a crop is offered in, its usual one first; weight alone while an own value of the garden cannot be read.
pub fn units(garden: &Garden, crop: &str, units: Units) -> Vec<PickedIn> {
    Books::of(garden).map_or_else(
        |_unreadable| vec![PickedIn::weight(units)],
        |books| picked_in::offered(garden, &books, crop, units),
    )
}

/// What was typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HarvestTyped {
    /// The unit of every amount.
    pub unit: PickedIn,
    /// All that was picked; empty when the parts tell it.
    pub picked: String,
    /// What became of what no part names.
    pub rest: Became,
    /// The parts by what became of them.
    pub parts: Map<Became, String>,
}

/// What was read: the amounts as the unit has them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HarvestRead {
    /// All of it.
    pub picked: i64,
    /// What no part names.
    pub rest: i64,
    /// Every part that is more than nothing, the rest among them.
    pub parts: Map<Became, i64>,
}

/// What is wrong, and with which part; with the whole when there is none.
pub type WrongPart = (Option<Became>, BadInput);

impl HarvestTyped {
    /// The amounts. The rest is what was picked without the parts; where only parts were typed, their sum was picked.
    pub fn read(&self) -> Result<HarvestRead, WrongPart> {
        let mut parts = Map::new();
        let mut named = 0_i64;
        for (became, typed) in &self.parts {
            // The part that follows is not typed.
            if *became == self.rest || typed.trim().is_empty() {
                continue;
            }
            let part = self.unit.read(typed).map_err(|bad| (Some(*became), bad))?;
            named = named.saturating_add(part);
            if part > 0 {
                parts.insert(*became, part);
            }
        }
        let whole = |bad: BadInput| (None, bad.named("picked"));
        let picked = if self.picked.trim().is_empty() && named > 0 {
            named
        } else {
            self.unit.read(&self.picked).map_err(whole)?
        };
        if picked < named {
            let expected = format!(
                "at least the {} that the parts below come to",
                self.unit.show(named)
            );
            return Err(whole(BadInput::new("picked", expected, &self.picked)));
        }
        if picked == 0 {
            let expected = "more than nothing";
            return Err(whole(BadInput::new("picked", expected, &self.picked)));
        }
        let rest = picked - named;
        if rest > 0 {
            parts.insert(self.rest, rest);
        }
        Ok(HarvestRead {
            picked,
            rest,
            parts,
        })
    }

    /// What is left to say under the fields: `Left: 1.5 lb, kept.`
    pub fn left(&self, garden: &Garden) -> Option<String> {
        if self.picked.trim().is_empty() && self.parts.values().all(|part| part.trim().is_empty()) {
            return None;
        }
        let read = self.read().ok()?;
        let picked = self.unit.show(read.picked);
        let rest = self.rest.words(garden);
        Some(if read.rest == read.picked {
            format!("All of {picked}: {rest}.")
        } else if read.rest == 0 {
            format!("{picked} in all, and each part has its place.")
        } else {
            format!(
                "{picked} in all. Left: {}, {rest}.",
                self.unit.show(read.rest)
            )
        })
    }
}

/// What goes into the garden's book: the parts, and the bushels that a weight was told in.
pub fn to_store(
    typed: &HarvestTyped,
    read: &HarvestRead,
    crop: &str,
) -> Result<(Harvest, Option<String>), Refusal> {
    let (ways, counts): (Vec<Became>, Vec<i64>) =
        read.parts.iter().map(|(way, part)| (*way, *part)).unzip();
    let stored = typed.unit.stored(crop, &counts)?;
    let mut harvest = Harvest {
        unit: typed.unit.stored_in(),
        ..Harvest::default()
    };
    for (way, part) in ways.into_iter().zip(stored) {
        match way {
            Became::Kept => harvest.kept = part,
            Became::Shared => harvest.shared = part,
            Became::Given(recipient) => {
                harvest.given.insert(recipient, part);
            }
            Became::GivenOtherwise => harvest.given_otherwise = part,
            Became::Lost => harvest.lost = part,
        }
    }
    let bushels = typed.unit == PickedIn::Bushels;
    Ok((harvest, bushels.then(|| typed.unit.show(read.picked))))
}

/// A person's words with the bushels before them, which the weight alone would not tell.
pub fn word_with(bushels: Option<String>, word: &str) -> String {
    let word = word.trim();
    match bushels {
        None => word.to_owned(),
        Some(bushels) if word.is_empty() => format!("{bushels}."),
        Some(bushels) => format!("{bushels}. {word}"),
    }
}

/// The planting that was picked: one of this crop in this bed that was in the ground, the one sown last.
pub fn planting_of(garden: &Garden, bed: BedId, crop: &str, day: Day) -> Option<PlantingId> {
    let name = crop.trim().to_lowercase();
    let season = garden.seasons.get(&day.year())?;
    let fits = season.plantings.iter().filter(|(_, planting)| {
        planting.ended_on.is_none()
            && planting.bed == bed
            && planting.crop.trim().to_lowercase() == name
            && planting.start <= day
            && planting.cleared_on.is_none_or(|cleared| day <= cleared)
    });
    let mut last = None;
    for (id, planting) in fits {
        if last.is_none_or(|(start, _)| start <= planting.start) {
            last = Some((planting.start, *id));
        }
    }
    last.map(|(_, id)| id)
}

/// The crops that stand in a bed on a day, by name.
pub fn standing(garden: &Garden, bed: BedId, day: Day) -> Vec<String> {
    let mut crops: Vec<String> = Vec::new();
    let season = garden.seasons.get(&day.year()).into_iter();
    for planting in season.flat_map(|season| season.plantings.values()) {
        let stands = planting.is_open()
            && !planting.cover
            && planting.bed == bed
            && planting.start <= day
            && planting.state != PlantingState::Cleared;
        if stands && !crops.contains(&planting.crop) {
            crops.push(planting.crop.clone());
        }
    }
    crops
}

/// What raw manure has to say to a picking, if it does.
pub fn too_early(
    garden: &Garden,
    bed: Option<BedId>,
    day: Option<Day>,
    show: impl Fn(Day) -> String,
) -> Option<String> {
    let (bed, day) = (bed?, day?);
    Some(manure_days::too_early(garden, bed, day)?.words(day, show))
}

/// The entry as it goes into the book.
#[derive(Clone, Debug)]
pub struct Entry<'a> {
    /// From which bed.
    pub bed: BedId,
    /// On which day.
    pub day: Day,
    /// What.
    pub crop: String,
    /// A word about it.
    pub word: &'a str,
}

/// The record of an entry.
pub fn record(
    garden: &Garden,
    entry: Entry<'_>,
    (parts, bushels): (Harvest, Option<String>),
    turn: Option<TurnId>,
) -> NewHarvest {
    NewHarvest {
        planting: planting_of(garden, entry.bed, &entry.crop, entry.day),
        bed: entry.bed,
        day: entry.day,
        crop: entry.crop,
        parts,
        turn,
        word: word_with(bushels, entry.word),
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use selion_core::document::records::{
        HarvestUnit, Planting, PlantingRows, Recipient, StartsAs,
    };
    use selion_core::quantities::Moment;

    use super::*;
    use crate::plain::sample::{bed, day, garden, member};

    fn pantry() -> RecipientId {
        RecipientId::fresh(Moment::from_millis(1), [1; 10])
    }

    fn with_pantry() -> Garden {
        let mut garden = garden();
        let record = Recipient {
            name: "The pantry".into(),
            ..Recipient::default()
        };
        garden.recipients.insert(pantry(), Arc::new(record));
        garden
    }

    fn planting() -> Planting {
        Planting {
            bed: bed(1),
            crop: String::new(),
            cover: false,
            part: None,
            rows: PlantingRows::default(),
            start: day("2026-03-01"),
            starts_as: StartsAs::default(),
            first_picking: None,
            last_picking: None,
            state: PlantingState::Standing,
            cleared_on: None,
            series: None,
            made_by: member(1),
            word: String::new(),
            ended_on: None,
        }
    }

    fn typed(unit: PickedIn, picked: &str, parts: &[(Became, &str)]) -> HarvestTyped {
        let parts = parts.iter().map(|(way, text)| (*way, (*text).to_owned()));
        HarvestTyped {
            unit,
            picked: picked.into(),
            parts: parts.collect(),
            ..HarvestTyped::default()
        }
    }

    #[test]
    fn the_part_that_follows_takes_what_is_left() {
        let garden = with_pantry();
        let parts = [(Became::Given(pantry()), "3"), (Became::Lost, "0.5")];
        let bunches = typed(PickedIn::Bunches, "12", &parts);
        let read = bunches.read().unwrap();
        assert_eq!((read.picked, read.rest), (1_200, 850));
        let left = bunches.left(&garden).unwrap();
        assert_eq!(left, "12 bunches in all. Left: 8.5 bunches, kept.");
        let (harvest, bushels) = to_store(&bunches, &read, "radish").unwrap();
        assert_eq!(
            (harvest.unit, harvest.picked()),
            (HarvestUnit::Bunches, 1_200)
        );
        assert_eq!(
            (harvest.kept, harvest.given_away(), harvest.lost),
            (850, 300, 50)
        );
        assert_eq!(bushels, None);
    }

    #[test]
    fn parts_alone_tell_what_was_picked_and_more_than_that_is_refused() {
        let garden = with_pantry();
        let alone = typed(PickedIn::Pounds, "", &[(Became::Given(pantry()), "4")]);
        assert_eq!(alone.read().unwrap().rest, 0);
        assert_eq!(
            alone.left(&garden).unwrap(),
            "4.0 lb in all, and each part has its place."
        );
        let over = typed(PickedIn::Heads, "2", &[(Became::Shared, "3")]);
        let (at, bad) = over.read().unwrap_err();
        assert_eq!(at, None);
        assert!(bad.to_string().contains("3 heads"), "{bad}");
        let wrong = typed(PickedIn::Heads, "2", &[(Became::Shared, "some")]);
        assert_eq!(wrong.read().unwrap_err().0, Some(Became::Shared));
        assert_eq!(typed(PickedIn::Heads, "0", &[]).read().unwrap_err().0, None);
        assert_eq!(typed(PickedIn::Heads, "", &[]).left(&garden), None);
    }

    #[test]
    fn bushels_are_stored_as_weight_and_told_in_the_word() {
        let mut bushels = typed(PickedIn::Bushels, "1.5", &[(Became::Kept, "9")]);
        bushels.rest = Became::GivenOtherwise;
        bushels.parts.insert(Became::Kept, "0.5".into());
        let read = bushels.read().unwrap();
        let (harvest, told) = to_store(&bushels, &read, "potato").unwrap();
        // 60 lb to the bushel: 30 lb and 60 lb, 90 lb or 40,823 g in all.
        assert_eq!((harvest.kept, harvest.given_otherwise), (13_608, 27_215));
        assert_eq!(
            word_with(told.clone(), " Sound ones. "),
            "1.5 bushels. Sound ones."
        );
        assert_eq!(word_with(told, ""), "1.5 bushels.");
        assert_eq!(
            to_store(&bushels, &read, "kale").unwrap_err().code(),
            "missing"
        );
    }

    #[test]
    fn a_key_leads_back_to_what_became_of_it() {
        let garden = with_pantry();
        let ways = ways(&garden);
        assert_eq!(ways.len(), 5);
        for way in ways {
            assert_eq!(Became::of_key(&way.key()), way);
        }
        assert_eq!(
            Became::Given(pantry()).words(&garden),
            "given to The pantry"
        );
        assert_eq!(
            Became::Given(pantry()).receiver(&garden),
            Some(Receiver::Nonprofit)
        );
        assert_eq!(Became::Lost.receiver(&garden), None);
    }

    #[test]
    fn the_planting_that_was_in_the_ground_is_the_one_picked() {
        let mut garden = garden();
        let season = garden.seasons.get_mut(&2026).unwrap();
        for (number, start, cleared) in [
            (1, "2026-03-01", Some("2026-06-01")),
            (2, "2026-05-01", None),
            (3, "2026-08-01", None),
        ] {
            let record = Planting {
                bed: bed(1),
                crop: "Radish".into(),
                start: day(start),
                cleared_on: cleared.map(day),
                ..planting()
            };
            let id = PlantingId::fresh(Moment::from_millis(number), [0; 10]);
            season.plantings.insert(id, Arc::new(record));
        }
        let of = |on| planting_of(&garden, bed(1), "radish ", day(on));
        let id = |number| Some(PlantingId::fresh(Moment::from_millis(number), [0; 10]));
        assert_eq!(of("2026-04-10"), id(1));
        assert_eq!(of("2026-07-10"), id(2));
        assert_eq!(of("2026-08-10"), id(3));
        assert_eq!(
            planting_of(&garden, bed(2), "radish", day("2026-07-10")),
            None
        );
        assert_eq!(standing(&garden, bed(1), day("2026-07-10")), ["Radish"]);
    }
}
