//! Checks of the whole: the permissions, what was stored by earlier versions, simulated phones and the real service.

pub mod loopback;

#[cfg(test)]
mod convergence;
#[cfg(test)]
mod garbage;
#[cfg(test)]
mod network;
#[cfg(test)]
mod permissions;
#[cfg(test)]
mod service;
#[cfg(test)]
mod small_garden;
#[cfg(test)]
mod stored_samples;
#[cfg(test)]
mod stories;
#[cfg(test)]
mod tidy;
#[cfg(test)]
mod worked_examples;
