//! Topics over [`crate::work`]: fences, water, heat.

mod fence;
mod safety;
mod water;

use super::Topic;

pub(super) const FENCE: &[Topic] = fence::TOPICS;
pub(super) const WATER: &[Topic] = water::TOPICS;
pub(super) const SAFETY: &[Topic] = safety::TOPICS;
