//! What goes wrong in one run, and how often. Some runs are calm, some are all trouble.

use crate::chance::Chance;

/// How many of a thousand cases go wrong, each in its way.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Faults {
    /// A frame is the last that gets through its socket, and neither side is told for long.
    pub(crate) silent_break: u32,
    /// A socket breaks, and both sides notice soon.
    pub(crate) clean_break: u32,
    /// A frame or request arrives twice.
    pub(crate) twice: u32,
    /// A connection is so slow that what waits for it is dropped for one word to begin again.
    pub(crate) stall: u32,
    /// A request does not arrive, or its reply does not.
    pub(crate) lost_request: u32,
    /// Commits of the service that fail.
    pub(crate) failing_commits: u32,
    /// Phones whose network lets no socket open.
    pub(crate) no_sockets: u32,
    /// The longest way between a phone and the service, in milliseconds.
    pub(crate) slowest: i64,
    /// How often phones die, lose their signal, have their clock set; how often the service dies; in each run.
    pub(crate) deaths: usize,
    pub(crate) dead_zones: usize,
    pub(crate) clocks_set: usize,
    pub(crate) service_deaths: usize,
    /// How often a backup is put back.
    pub(crate) restores: usize,
    /// How many phones are signed out.
    pub(crate) revoked: usize,
}

impl Faults {
    /// Nothing goes wrong.
    pub(crate) fn none() -> Self {
        Self {
            slowest: 80,
            ..Self::default()
        }
    }

    /// The troubles of one run.
    pub(crate) fn of_run(chance: &mut Chance) -> Self {
        let mut some = |most: u32| match chance.below(3) {
            0 => 0,
            1 => most / 4,
            _ => most,
        };
        let mut faults = Self {
            silent_break: some(15),
            clean_break: some(40),
            twice: some(60),
            stall: some(40),
            lost_request: some(200),
            failing_commits: some(120),
            no_sockets: some(400),
            ..Self::none()
        };
        let mut times = |most: usize| chance.below(most + 1);
        faults.deaths = times(5);
        faults.dead_zones = times(8);
        faults.clocks_set = times(3);
        faults.service_deaths = times(3);
        faults.restores = times(3).saturating_sub(1);
        faults.revoked = times(4).saturating_sub(3);
        faults.slowest = [30, 400, 4_000][times(2)];
        faults
    }
}
