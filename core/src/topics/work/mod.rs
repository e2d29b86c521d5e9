//! Topics over [`crate::work`]: fences, water, workability, safety, hours.

mod fence;

use super::Topic;

pub(super) const FENCE: &[Topic] = fence::TOPICS;
