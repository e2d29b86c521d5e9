//! Topics over [`crate::work`]: fences, and water.

mod fence;
mod water;

use super::Topic;

pub(super) const FENCE: &[Topic] = fence::TOPICS;
pub(super) const WATER: &[Topic] = water::TOPICS;
