//! The list of people: who they are, what they may do, which beds they hold.

use selion_core::document::ids::MemberId;
use selion_core::document::{Garden, Role};
use selion_core::ordered;

/// One person as they are listed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PersonRow {
    /// Who.
    pub member: MemberId,
    /// Their name.
    pub name: String,
    /// What they may do.
    pub role: Role,
    /// The labels of the beds they hold.
    pub beds: String,
    /// Whether it is whoever looks.
    pub mine: bool,
    /// Whether they left.
    pub left: bool,
}

/// Everybody by name, those who left included.
pub fn rows(garden: &Garden, me: Option<MemberId>) -> Vec<PersonRow> {
    let beds = garden.open_beds();
    let mut rows: Vec<PersonRow> = garden
        .members
        .iter()
        .map(|(id, member)| {
            let held: Vec<&str> = beds
                .iter()
                .filter(|(_, bed)| bed.is_held_by(*id))
                .map(|(_, bed)| bed.label.as_str())
                .collect();
            PersonRow {
                member: *id,
                name: member.name.clone(),
                role: member.role,
                beds: held.join(" "),
                mine: Some(*id) == me,
                left: member.ended_on.is_some(),
            }
        })
        .collect();
    ordered::sort_by_key(&mut rows, |row| (row.name.to_lowercase(), row.member));
    rows
}

/// What a role may do, where it is chosen.
pub fn role_words(role: Role) -> &'static str {
    match role {
        Role::Coordinator => "Coordinator: plans, orders, keeps people",
        Role::Member => "Member: holds a bed",
        Role::Helper => "Helper: comes to help, without a bed",
    }
}

/// The first letters of a name, for the margin: `Ines` is `I`, `Ana Maria` is `AM`.
pub fn initials(name: &str) -> String {
    name.split_whitespace()
        .filter_map(|word| word.chars().next())
        .take(2)
        .flat_map(char::to_uppercase)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plain::sample::{garden, member};

    #[test]
    fn people_stand_by_name_with_their_beds() {
        let rows = rows(&garden(), Some(member(2)));
        let lines: Vec<(&str, &str, bool)> = rows
            .iter()
            .map(|row| (row.name.as_str(), row.beds.as_str(), row.mine))
            .collect();
        assert_eq!(lines, [("Ines", "A2", false), ("Tomasz", "C4", true)]);
    }

    #[test]
    fn initials_are_at_most_two_letters() {
        assert_eq!(initials("Ines"), "I");
        assert_eq!(initials("ana maria de sousa"), "AM");
        assert_eq!(initials(""), "");
    }
}
