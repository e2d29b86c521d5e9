//! The crop tables with a garden's own crops and values.

use crate::document::Garden;
use crate::document::records::Planting;
use crate::quantities::BadInput;
use crate::season::cover::{CoverBook, CoverCrop};
use crate::season::crops::{Crop, CropBook, OwnCrop};

/// What a garden knows of crops and cover crops.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Books {
    /// Its crops.
    pub crops: CropBook,
    /// Its cover crops.
    pub covers: CoverBook,
}

impl Books {
    /// The tables, with the garden's own above them. An own value that cannot be read is named.
    pub fn of(garden: &Garden) -> Result<Self, BadInput> {
        let own = |cover: bool| -> Vec<OwnCrop> {
            let open = garden.crops.values().filter(|crop| crop.ended_on.is_none());
            open.filter(|crop| crop.cover == cover)
                .map(|crop| OwnCrop {
                    name: crop.name.clone(),
                    values: crop
                        .values
                        .iter()
                        .filter(|(_, text)| !text.trim().is_empty())
                        .map(|(column, text)| (column.clone(), text.clone()))
                        .collect(),
                })
                .collect()
        };
        Ok(Self {
            crops: CropBook::with(&own(false))?,
            covers: CoverBook::with(&own(true))?,
        })
    }

    /// The crop of a planting.
    pub fn crop(&self, planting: &Planting) -> Result<&Crop, BadInput> {
        self.crops.find(&planting.crop)
    }

    /// The cover crop of a planting.
    pub fn cover(&self, planting: &Planting) -> Result<&CoverCrop, BadInput> {
        self.covers.find(&planting.crop)
    }
}
