//! What the plan and the ground ask for, as the screen lists it: by kind, with what was set aside, and the kinds that go by rule.

use selion_core::document::edit::{AcceptedTask, LIMITS};
use selion_core::document::ids::TaskId;
use selion_core::document::proposals::{self, Kind, Proposal};
use selion_core::document::season_plan::Books;
use selion_core::document::{DocumentName, Edit, Garden};
use selion_core::ordered;
use selion_core::ordered::Map;
use selion_core::quantities::{BadInput, Day, Minutes};

use super::typed::with_unit;
use super::wording::{capital, counted, day_words};

/// Proposals of one kind.
#[derive(Clone, Debug, PartialEq)]
pub struct KindGroup {
    /// Which kind.
    pub kind: Kind,
    /// By day.
    pub proposals: Vec<Proposal>,
}

/// What is proposed now, by kind in the order of a year's work.
pub fn groups(garden: &Garden, today: Day) -> Result<Vec<KindGroup>, BadInput> {
    let all = proposals::all(garden, &Books::of(garden)?, today);
    let of_kind = |(_, kind): (&'static str, Kind)| KindGroup {
        kind,
        proposals: all.iter().filter(|it| it.kind == kind).cloned().collect(),
    };
    Ok(Kind::ALL
        .into_iter()
        .map(of_kind)
        .filter(|group| !group.proposals.is_empty())
        .collect())
}

/// Whether the garden accepts anything by rule; where it does not, nothing has to be worked out.
pub fn has_rules(garden: &Garden) -> bool {
    let accept = garden.profile.as_ref().map(|profile| &profile.accept);
    accept.is_some_and(|accept| accept.values().any(|agreed| *agreed))
}

/// Whether a kind goes by rule.
pub fn by_rule(garden: &Garden, kind: Kind) -> bool {
    let accept = garden.profile.as_ref().map(|profile| &profile.accept);
    accept.is_some_and(|accept| accept.get(kind.word()).copied().unwrap_or(false))
}

/// What is written where somebody who may accept looks: those that go by rule and are no task yet.
pub fn to_accept(garden: &Garden, today: Day) -> Vec<(DocumentName, Edit)> {
    if !has_rules(garden) {
        return Vec::new();
    }
    Books::of(garden)
        .map(|books| proposals::to_accept(garden, &proposals::all(garden, &books, today)))
        .unwrap_or_default()
}

/// The garden's rules with one kind changed.
pub fn rules_with(garden: &Garden, kind: Kind, agreed: bool) -> Map<String, bool> {
    let mut accept = garden
        .profile
        .as_ref()
        .map(|profile| profile.accept.clone())
        .unwrap_or_default();
    accept.insert(kind.word().to_owned(), agreed);
    accept
}

/// What a kind is called above its lines.
pub fn heading(kind: Kind) -> &'static str {
    match kind {
        Kind::Sow => "Sowing",
        Kind::SetOut => "Setting out plants",
        Kind::Thin => "Thinning",
        Kind::Scout => "Looking for pests",
        Kind::Pick => "Picking",
        Kind::EndCover => "Ending cover crops",
        Kind::Clear => "Clearing beds",
        Kind::TurnPile => "Turning compost",
        Kind::Lime => "Spreading lime",
        Kind::WalkFence => "Walking the fence",
        Kind::Hoe => "Hoeing after rain",
    }
}

/// When, for how many and how long, in a few words.
pub fn small(proposal: &Proposal, today: Day) -> String {
    let day = day_words(proposal.day, today);
    let day = if proposal.day < today {
        format!("was due {day}")
    } else {
        capital(&day)
    };
    let places = usize::try_from(proposal.places).unwrap_or(usize::MAX);
    format!(
        "{day} · {} · about {}",
        counted(places, "place", "places"),
        proposal.minutes.result.show()
    )
}

/// A task that came from a proposal and is off, without anybody having claimed it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AsideLine {
    /// Its task.
    pub task: TaskId,
    /// The season it stands in.
    pub document: DocumentName,
    /// The bed's label, or `all`.
    pub bed: String,
    /// What was to be done.
    pub title: String,
    /// When.
    pub small: String,
}

/// What was set aside or called off and would still be proposed: it can be proposed again.
pub fn aside(garden: &Garden, today: Day) -> Vec<AsideLine> {
    let mut found: Vec<(Day, AsideLine)> = Vec::new();
    for (year, season) in &garden.seasons {
        for (id, task) in &season.tasks {
            let (Some(day), Some(_), Some(off)) = (task.day, &task.from, task.ended_on) else {
                continue;
            };
            let comes = today.days_until(day);
            if task.is_claimed() || !(-proposals::AHEAD..=proposals::AHEAD).contains(&comes) {
                continue;
            }
            let line = AsideLine {
                task: *id,
                document: DocumentName::Season(*year),
                bed: garden.label_of(task.bed).to_owned(),
                title: task.title.clone(),
                small: format!(
                    "{} · off since {}",
                    capital(&day_words(day, today)),
                    day_words(off, today)
                ),
            };
            found.push((day, line));
        }
    }
    ordered::sort_by_key(&mut found, |(day, line)| (*day, line.task));
    found.into_iter().map(|(_, line)| line).collect()
}

/// What was typed to correct a proposal before it is accepted.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ProposalTyped {
    /// What is to be done.
    pub title: String,
    /// When.
    pub day: String,
    /// How many people.
    pub places: String,
    /// How long one of them takes.
    pub minutes: String,
}

impl ProposalTyped {
    /// As it is proposed.
    pub fn of(proposal: &Proposal) -> Self {
        Self {
            title: proposal.title.clone(),
            day: proposal.day.to_string(),
            places: proposal.places.to_string(),
            minutes: proposal.minutes.result.show(),
        }
    }

    /// The task that it is to be, or all that is wrong with what was typed.
    pub fn read(&self, proposal: &Proposal) -> Result<AcceptedTask, Vec<BadInput>> {
        let mut wrong = Vec::new();
        let mut note = |bad: BadInput, field: &str| wrong.push(bad.named(field));
        let title = self.title.trim();
        if title.is_empty() {
            note(BadInput::new("title", "some words", ""), "title");
        }
        let day = Day::parse(self.day.trim()).map_err(|bad| note(bad, "day"));
        let places = self.places.trim().parse::<u32>();
        let places = places
            .ok()
            .filter(|count| (1..=LIMITS.places).contains(count));
        if places.is_none() {
            let expected = format!("a number of people from 1 to {}", LIMITS.places);
            note(BadInput::new("places", expected, &self.places), "places");
        }
        let minutes = Minutes::parse(&with_unit(&self.minutes, "min"));
        let minutes = minutes.map_err(|bad| note(bad, "minutes"));
        let (Ok(day), Some(places), Ok(minutes)) = (day, places, minutes) else {
            return Err(wrong);
        };
        if !wrong.is_empty() {
            return Err(wrong);
        }
        // What the season's document cannot hold would be refused there, in words about a year.
        if day.year() != proposal.day.year() && day.year() != proposal.year {
            let expected = format!("a day of {}", proposal.day.year());
            return Err(vec![BadInput::new("day", expected, day.to_string())]);
        }
        Ok(AcceptedTask {
            title: title.to_owned(),
            day,
            places,
            minutes,
            ..proposal.as_task()
        })
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use selion_core::document::ids::PlantingId;
    use selion_core::document::records::{Planting, PlantingRows, PlantingState, StartsAs, Task};
    use selion_core::quantities::Moment;

    use super::*;
    use crate::plain::sample::{bed, day, garden, hoe, member, task};

    const TODAY: &str = "2026-04-15";

    fn planting(number: u8) -> PlantingId {
        PlantingId::fresh(Moment::from_millis(1), [number; 10])
    }

    /// Carrots on A2 on 20 April, and beans on C4 that were to be sown a week ago.
    fn planted() -> Garden {
        let mut garden = garden();
        let carrot = Planting {
            bed: bed(1),
            crop: "carrot".into(),
            cover: false,
            part: None,
            rows: PlantingRows::default(),
            start: day("2026-04-20"),
            starts_as: StartsAs::Sown,
            first_picking: None,
            last_picking: None,
            state: PlantingState::Planned,
            cleared_on: None,
            series: None,
            made_by: member(1),
            word: String::new(),
            ended_on: None,
        };
        let beans = Planting {
            bed: bed(2),
            crop: "bean, bush snap".into(),
            start: day("2026-04-08"),
            ..carrot.clone()
        };
        let season = garden.seasons.get_mut(&2026).unwrap();
        season.plantings.insert(planting(1), Arc::new(carrot));
        season.plantings.insert(planting(2), Arc::new(beans));
        garden
    }

    fn agreed(mut garden: Garden, kind: Kind) -> Garden {
        let accept = rules_with(&garden, kind, true);
        let mut profile = garden.profile.as_deref().unwrap().clone();
        profile.accept = accept;
        garden.profile = Some(Arc::new(profile));
        garden
    }

    #[test]
    fn proposals_stand_under_their_kind_with_when_and_how_long() {
        let garden = planted();
        let groups = groups(&garden, day(TODAY)).unwrap();
        let sow = &groups[0];
        assert_eq!((sow.kind, heading(sow.kind)), (Kind::Sow, "Sowing"));
        let lines: Vec<String> = sow
            .proposals
            .iter()
            .map(|it| small(it, day(TODAY)))
            .collect();
        // 15 min and 3 min for each of the 3 m² (1 m by 3 m).
        assert_eq!(
            lines,
            [
                "was due Wed 8 April · 1 place · about 24 min",
                "Mon 20 April · 1 place · about 24 min"
            ]
        );
    }

    #[test]
    fn nothing_is_written_without_a_rule_and_each_once_with_one() {
        let garden = planted();
        assert!(to_accept(&garden, day(TODAY)).is_empty());
        assert!(!has_rules(&garden) && !by_rule(&garden, Kind::Sow));
        let garden = agreed(garden, Kind::Sow);
        assert!(by_rule(&garden, Kind::Sow) && !by_rule(&garden, Kind::Thin));
        let written = to_accept(&garden, day(TODAY));
        assert_eq!(written.len(), 2);
        assert!(
            written
                .iter()
                .all(|(document, _)| *document == DocumentName::Season(2026))
        );
        // Taken back, the kind stays in the rules as one that is asked for.
        let mut garden = garden;
        let accept = rules_with(&garden, Kind::Sow, false);
        let mut profile = garden.profile.as_deref().unwrap().clone();
        profile.accept = accept;
        garden.profile = Some(Arc::new(profile));
        assert!(to_accept(&garden, day(TODAY)).is_empty());
    }

    #[test]
    fn what_was_set_aside_is_listed_until_its_time_is_over() {
        let mut garden = planted();
        let off = |on: &str, from: Option<&str>| Task {
            day: Some(day(on)),
            from: from.map(ToOwned::to_owned),
            ended_on: Some(day("2026-04-14")),
            ..hoe()
        };
        let season = garden.seasons.get_mut(&2026).unwrap();
        for (number, record) in [
            (1, off("2026-04-20", Some("thin:x"))),
            (2, off("2026-04-20", None)),
            (3, off("2026-02-20", Some("hoe:x"))),
        ] {
            season.tasks.insert(task(number), Arc::new(record));
        }
        let lines = aside(&garden, day(TODAY));
        assert_eq!(lines.len(), 1, "{lines:?}");
        assert_eq!(lines[0].task, task(1));
        assert_eq!(lines[0].small, "Mon 20 April · off since yesterday");
    }

    #[test]
    fn a_proposal_is_corrected_before_it_is_accepted() {
        let garden = planted();
        let groups = groups(&garden, day(TODAY)).unwrap();
        let proposal = &groups[0].proposals[1];
        let typed = ProposalTyped::of(proposal);
        assert_eq!(typed.read(proposal).unwrap(), proposal.as_task());
        let corrected = ProposalTyped {
            title: " Sow carrots, three rows ".into(),
            day: "2026-04-21".into(),
            places: "2".into(),
            minutes: "1 h".into(),
        };
        let read = corrected.read(proposal).unwrap();
        assert_eq!(
            (read.title.as_str(), read.places),
            ("Sow carrots, three rows", 2)
        );
        assert_eq!(
            (read.day, read.minutes),
            (day("2026-04-21"), Minutes::new(60))
        );
        assert_eq!(read.key, proposal.key);
        let wrong = ProposalTyped {
            title: String::new(),
            day: "tomorrow".into(),
            places: "0".into(),
            minutes: "soon".into(),
        };
        let wrong = wrong.read(proposal).unwrap_err();
        let fields: Vec<&str> = wrong.iter().map(|bad| bad.field.as_str()).collect();
        assert_eq!(fields, ["title", "day", "places", "minutes"]);
        let next_year = ProposalTyped {
            day: "2027-04-20".into(),
            ..ProposalTyped::of(proposal)
        };
        assert_eq!(next_year.read(proposal).unwrap_err()[0].field, "day");
    }
}
