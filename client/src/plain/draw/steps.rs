//! What was drawn, step by step, to be taken back and done again.

use selion_core::document::Edit;

/// The edits that take each step back, and those that do it again, the newest last.
///
/// A step is one edit and the edits that take it back; each may be taken back by the edits that core gives for it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Steps {
    back: Vec<Vec<Edit>>,
    again: Vec<Vec<Edit>>,
}

/// Which way to go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// A step back.
    Back,
    /// The step that was taken back is done again.
    Again,
}

impl Steps {
    /// Something was drawn that these edits take back; what was taken back before it can no longer be done again.
    pub fn drawn(&mut self, back: Vec<Edit>) {
        self.back.push(back);
        self.again.clear();
    }

    /// The edits of the next step this way, which are then no longer waiting.
    pub fn take(&mut self, way: Way) -> Option<Vec<Edit>> {
        match way {
            Way::Back => self.back.pop(),
            Way::Again => self.again.pop(),
        }
    }

    /// A step was taken this way, and these edits take it the other way.
    pub fn taken(&mut self, way: Way, other_way: Vec<Edit>) {
        match way {
            Way::Back => self.again.push(other_way),
            Way::Again => self.back.push(other_way),
        }
    }

    /// Whether there is a step this way.
    pub fn has(&self, way: Way) -> bool {
        match way {
            Way::Back => !self.back.is_empty(),
            Way::Again => !self.again.is_empty(),
        }
    }
}

#[cfg(test)]
mod tests {
    use selion_core::document::edit::BedField;

    use super::*;
    use crate::plain::sample::bed;

    fn named(label: &str) -> Vec<Edit> {
        vec![Edit::ChangeBed {
            bed: bed(1),
            set: vec![BedField::Label(label.to_owned())],
        }]
    }

    #[test]
    fn steps_go_back_and_forth_until_something_new_is_drawn() {
        let mut steps = Steps::default();
        steps.drawn(named("A"));
        steps.drawn(named("B"));
        let back = steps.take(Way::Back);
        assert_eq!(back, Some(named("B")));
        steps.taken(Way::Back, named("C"));
        assert!(steps.has(Way::Back) && steps.has(Way::Again));
        let again = steps.take(Way::Again);
        assert_eq!(again, Some(named("C")));
        steps.taken(Way::Again, named("B"));
        assert_eq!(steps.take(Way::Back), Some(named("B")));
        steps.taken(Way::Back, named("C"));
        steps.drawn(named("D"));
        assert!(!steps.has(Way::Again));
    }
}
