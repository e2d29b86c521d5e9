//! Files compressed once, when the site is built, and what each weighs on its way to a phone.

use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};

use anyhow::{Context as _, Result};

use super::inputs::files_below;

/// Kinds of file that are compressed in themselves already.
const DENSE: [&str; 4] = ["png", "jpg", "webp", "woff2"];

/// Writes `.br` and `.gz` beside a file, where they are worth having.
pub(super) fn beside(path: &Path, content: &[u8]) -> Result<()> {
    if has_extension(path, &DENSE) {
        return Ok(());
    }
    for (ending, bytes) in [("br", brotli(content)?), ("gz", gzip(content)?)] {
        if bytes.len() < content.len() {
            let place = with_ending(path, ending);
            fs::write(&place, bytes)
                .with_context(|| format!("{} cannot be written", place.display()))?;
        }
    }
    Ok(())
}

/// What a browser that speaks brotli loads: each file with its bytes as sent.
pub(super) fn weigh(dist: &Path) -> Result<Vec<(PathBuf, u64)>> {
    files_below(dist, &[PathBuf::new()])?
        .into_iter()
        .filter(|path| !has_extension(path, &["br", "gz"]))
        .map(|path| {
            let plain = dist.join(&path);
            let compressed = with_ending(&plain, "br");
            let sent = if compressed.is_file() {
                compressed
            } else {
                plain
            };
            let size = fs::metadata(&sent)
                .with_context(|| format!("{} cannot be read", sent.display()))?
                .len();
            Ok((path, size))
        })
        .collect()
}

fn brotli(content: &[u8]) -> Result<Vec<u8>> {
    let best = brotli::enc::BrotliEncoderParams {
        quality: 11,
        // Wider than the default window: the program is larger than 4 MB before compression at times.
        lgwin: 24,
        size_hint: content.len(),
        ..Default::default()
    };
    let mut bytes = Vec::new();
    brotli::BrotliCompress(&mut &*content, &mut bytes, &best)
        .context("a file could not be compressed with brotli")?;
    Ok(bytes)
}

fn gzip(content: &[u8]) -> Result<Vec<u8>> {
    let mut encoder = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::best());
    encoder
        .write_all(content)
        .and_then(|()| encoder.finish())
        .context("a file could not be compressed with gzip")
}

fn has_extension(path: &Path, among: &[&str]) -> bool {
    path.extension()
        .and_then(|extension| extension.to_str())
        .is_some_and(|extension| among.contains(&extension))
}

fn with_ending(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".");
    name.push(ending);
    PathBuf::from(name)
}

#[cfg(test)]
mod tests {
    use std::io::Read as _;

    use super::*;

    #[test]
    fn both_kinds_open_to_the_same_bytes() {
        let content = b"bed 7, bed 8, bed 9, ".repeat(100);

        let mut from_brotli = Vec::new();
        brotli::BrotliDecompress(&mut &*brotli(&content).unwrap(), &mut from_brotli).unwrap();
        assert_eq!(from_brotli, content);

        let mut from_gzip = Vec::new();
        let squeezed = gzip(&content).unwrap();
        flate2::read::GzDecoder::new(&*squeezed)
            .read_to_end(&mut from_gzip)
            .unwrap();
        assert_eq!(from_gzip, content);
    }

    #[test]
    fn files_are_weighed_as_they_are_sent() {
        let folder = std::env::temp_dir().join(format!("selion-weigh-{}", std::process::id()));
        fs::create_dir_all(&folder).unwrap();
        fs::write(folder.join("page.html"), [b'a'; 500]).unwrap();
        fs::write(folder.join("page.html.br"), [b'b'; 20]).unwrap();
        fs::write(folder.join("page.html.gz"), [b'c'; 30]).unwrap();
        fs::write(folder.join("icon.png"), [b'd'; 70]).unwrap();
        let weighed = weigh(&folder);
        fs::remove_dir_all(&folder).unwrap();
        assert_eq!(
            weighed.unwrap(),
            [
                (PathBuf::from("icon.png"), 70),
                (PathBuf::from("page.html"), 20)
            ]
        );
    }
}
