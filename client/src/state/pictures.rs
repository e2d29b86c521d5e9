//! The picture under the plan: kept on this phone, brought to the service when there is signal, fetched by the other phones.

use selion_core::document::ids::{GardenId, PictureId};

use super::account::access;
use crate::browser::picture;
use crate::browser::vault::{self, Durability, Store, Write};
use crate::plain::trouble::Trouble;

fn key(garden: GardenId, picture: PictureId) -> String {
    format!("picture/{garden}/{picture}")
}

fn waiting_key(garden: GardenId, picture: PictureId) -> String {
    format!("picture-waits/{garden}/{picture}")
}

fn address(garden: GardenId, picture: PictureId) -> String {
    format!("/api/gardens/{garden}/pictures/{picture}")
}

/// Keeps a new picture on this phone; it waits for the service from then on.
pub async fn keep(garden: GardenId, picture: PictureId, bytes: &[u8]) -> Result<(), Trouble> {
    let rows = [
        Write::bytes(Store::Meta, key(garden, picture), bytes),
        Write::text(Store::Meta, waiting_key(garden, picture), ""),
    ];
    vault::open().commit(&rows, Durability::Strict).await
}

/// Whether it still waits for the service.
pub async fn waits(garden: GardenId, picture: PictureId) -> bool {
    let row = vault::open()
        .read(Store::Meta, &waiting_key(garden, picture))
        .await;
    row.is_ok_and(|row| row.is_some())
}

/// Brings it to the service, if it waits.
pub async fn bring(garden: GardenId, picture: PictureId) -> Result<(), Trouble> {
    let vault = vault::open();
    if vault
        .read(Store::Meta, &waiting_key(garden, picture))
        .await?
        .is_none()
    {
        return Ok(());
    }
    let bytes = vault.read(Store::Meta, &key(garden, picture)).await?;
    if let Some(bytes) = bytes.and_then(vault::Value::into_bytes) {
        let token = access().await?;
        picture::bring(&address(garden, picture), &token, &bytes).await?;
    }
    let brought = [Write::Delete(Store::Meta, waiting_key(garden, picture))];
    vault.commit(&brought, Durability::Relaxed).await
}

/// Its bytes: from this phone, else from the service, and kept from then on in place of former ones.
pub async fn find(garden: GardenId, id: PictureId) -> Result<Vec<u8>, Trouble> {
    let vault = vault::open();
    let here = vault.read(Store::Meta, &key(garden, id)).await?;
    if let Some(bytes) = here.and_then(vault::Value::into_bytes) {
        return Ok(bytes);
    }
    let token = access().await?;
    let bytes = picture::fetch(&address(garden, id), &token).await?;
    let kept = [Write::bytes(Store::Meta, key(garden, id), bytes.clone())];
    vault.commit(&kept, Durability::Relaxed).await?;
    Ok(bytes)
}
