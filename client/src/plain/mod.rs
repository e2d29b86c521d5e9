//! What the screens and the browser need worked out, without either: it runs anywhere and is tested natively.

pub mod bed_facts;
pub mod bed_form;
pub mod buy_rows;
pub mod claims;
pub mod drawing;
pub mod entry_acts;
pub mod entry_form;
pub mod fence_drawing;
pub mod fence_order;
pub mod ground_drawing;
pub mod ground_rows;
pub mod hand_out_rows;
pub mod hours_rows;
pub mod invoice_form;
pub mod label_form;
pub mod memory_rows;
pub mod money_rules;
pub mod order_form;
pub mod people_rows;
pub mod pickings;
pub mod profile_form;
pub mod qr;
pub mod requests;
pub mod scale_bar;
pub mod settle_rows;
pub mod share_lists;
pub mod share_rows;
pub mod soil_form;
pub mod soil_rows;
pub mod spread_form;
pub mod statement;
pub mod stops;
pub mod subjects;
pub mod tasks;
pub mod trouble;
pub mod truth;
pub mod turns;
pub mod typed;
pub mod vault;
pub mod viewport;
pub mod waits;
pub mod week;
pub mod wish_rows;
pub mod wording;

#[cfg(test)]
mod sample;
