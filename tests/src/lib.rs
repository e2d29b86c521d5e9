//! Checks of the whole: the permissions, what was stored by earlier versions, simulated phones and the real service.

pub mod chance;
pub mod large_order;
pub mod loopback;
pub mod whole_season;

#[cfg(test)]
#[cfg(feature = "browser")]
mod browser;
#[cfg(test)]
mod convergence;
#[cfg(test)]
mod drawing;
#[cfg(test)]
mod drawing_together;
#[cfg(test)]
mod garbage;
#[cfg(test)]
mod network;
#[cfg(test)]
mod one_phone;
#[cfg(test)]
mod orders;
#[cfg(test)]
mod permissions;
#[cfg(test)]
mod plan_tasks;
#[cfg(test)]
mod planning;
#[cfg(test)]
mod requests;
#[cfg(test)]
mod service;
#[cfg(test)]
mod small_garden;
#[cfg(test)]
mod stored_samples;
#[cfg(test)]
mod stories;
#[cfg(test)]
mod the_year;
#[cfg(test)]
mod tidy;
#[cfg(test)]
mod worked_examples;
