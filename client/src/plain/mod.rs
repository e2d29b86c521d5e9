//! What the screens and the browser need worked out, without either: it runs anywhere and is tested natively.

pub mod drawing;
pub mod memory_rows;
pub mod qr;
pub mod scale_bar;
pub mod subjects;
pub mod trouble;
pub mod truth;
pub mod vault;
pub mod viewport;
