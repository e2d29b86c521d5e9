//! What somebody is told before a change of the plan is sent: which claimed tasks stay on their days.

use selion_core::document::ids::{EditId, GardenId, MemberId};
use selion_core::document::records::Place;
use selion_core::document::stored::Write;
use selion_core::document::{DocumentName, Edit, Envelope, Garden};
use selion_core::policy;
use selion_core::quantities::{Day, Moment};

use super::wording::{counted, plan_words};

/// The claimed tasks that this change of the plan leaves where they are, named, as this phone knows them: `1 claimed task
/// stays: Sow carrot (Tomasz), the plan has it on Mon 27 April now.` Nothing where none stays. The garden's service may know
/// of more claims, and then tells that with its answer.
pub fn stays(
    garden: &Garden,
    me: MemberId,
    document: DocumentName,
    edit: &Edit,
    today: Day,
) -> Option<String> {
    let start = Moment::from_millis(0);
    let envelope = Envelope {
        version: Envelope::VERSION,
        id: EditId::fresh(start, [0; 10]),
        garden: GardenId::fresh(start, [0; 10]),
        document,
        written_at: start,
        edit: edit.clone(),
    };
    let judged = policy::judge(garden, me, &envelope).ok()?;
    let mut named: Vec<String> = Vec::new();
    for write in &judged.writes {
        let Write::Task(_, task) = write else {
            continue;
        };
        let Some(plan) = plan_words(garden, task, today) else {
            continue;
        };
        let people: Vec<&str> = task
            .in_order()
            .into_iter()
            .map(|(_, claim, _)| garden.name_of(claim.member))
            .collect();
        named.push(format!("{} ({}), {plan}", task.title, people.join(", ")));
    }
    if named.is_empty() {
        return None;
    }
    let verb = if named.len() == 1 { "stays" } else { "stay" };
    let tasks = counted(named.len(), "claimed task", "claimed tasks");
    Some(format!("{tasks} {verb}: {}.", named.join("; ")))
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use selion_core::document::edit::PlantingField;
    use selion_core::document::ids::PlantingId;
    use selion_core::document::records::{
        Planting, PlantingRows, PlantingState, Role, StartsAs, Task,
    };
    use selion_core::ordered::Map;

    use super::*;
    use crate::plain::sample::{bed, by, claim, day, garden, hoe, member, task};

    #[test]
    fn claimed_tasks_that_stay_are_named_with_their_people() {
        let mut garden = garden();
        let mut ines = garden.members[&member(1)].as_ref().clone();
        ines.role = Role::Coordinator;
        garden.members.insert(member(1), Arc::new(ines));
        let id = PlantingId::fresh(Moment::from_millis(1), [1; 10]);
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
        let sow = Task {
            title: "Sow carrot".into(),
            day: Some(day("2026-04-20")),
            from: Some(format!("sow:{id}")),
            ..hoe()
        };
        let season = garden.seasons.get_mut(&2026).unwrap();
        season.plantings.insert(id, Arc::new(carrot));
        season.tasks.insert(task(1), Arc::new(sow.clone()));
        let edit = Edit::ChangePlanting {
            planting: id,
            set: vec![PlantingField::Start(day("2026-04-27"))],
        };
        let document = DocumentName::Season(2026);
        let told = |garden: &Garden| stays(garden, member(1), document, &edit, day("2026-04-15"));
        assert_eq!(told(&garden), None, "nobody has claimed it, so it moves");
        let claimed = Task {
            claims: Map::from([(claim(1), by(member(2), 1))]),
            ..sow
        };
        let season = garden.seasons.get_mut(&2026).unwrap();
        season.tasks.insert(task(1), Arc::new(claimed));
        assert_eq!(
            told(&garden).unwrap(),
            "1 claimed task stays: Sow carrot (Tomasz), the plan has it on Mon 27 April now."
        );
    }
}
