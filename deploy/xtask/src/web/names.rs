//! The names by which the program and its module know each other, made short.
//!
//! wasm-bindgen calls each function of the browser `__wbg_` and more, with a hash of sixteen letters behind it, so that
//! nothing can be mixed up while it works. Afterwards any names do, as long as both files use the same: the hashes are
//! what no compression makes smaller, and they stand in both.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use anyhow::{Context as _, Result, bail};
use wasm_encoder::{Encode as _, Module, RawSection};
use wasmparser::{BinaryReaderError, Parser, Payload};

/// The long names and what they become.
type Short = BTreeMap<String, String>;

/// Shortens the names of a program and of the module that belongs to it.
pub(super) fn shorten(program: &Path, module: &Path) -> Result<()> {
    let text = fs::read_to_string(module)
        .with_context(|| format!("{} cannot be read", module.display()))?;
    let bytes =
        fs::read(program).with_context(|| format!("{} cannot be read", program.display()))?;
    let short = short_names(&bytes, &text)?;
    let renamed = rename_in_program(&bytes, &short)
        .with_context(|| format!("{} is not as expected", program.display()))?;
    fs::write(program, renamed)?;
    Ok(fs::write(module, rename_in_module(&text, &short))?)
}

/// Short names for all that stands in both files.
fn short_names(program: &[u8], module: &str) -> Result<Short> {
    let mut long = Vec::new();
    for part in Parser::new(0).parse_all(program) {
        let part = part?;
        if let Payload::ImportSection(imports) = part {
            for import in imports.into_imports() {
                long.push(import?.name.to_owned());
            }
        } else if let Payload::ExportSection(exports) = part {
            for export in exports {
                long.push(export?.name.to_owned());
            }
        }
    }
    // Only names with a hash: what is named by hand may be asked for by the later files, or by nobody we know.
    let words: Vec<&str> = words(module).collect();
    long.retain(|name| has_hash(name) && words.contains(&name.as_str()));
    long.sort();
    long.dedup();
    let mut short = Short::new();
    let mut fresh = (0..).map(|number| format!("_{number}"));
    for name in long {
        let Some(free) = fresh.find(|name| !words.contains(&name.as_str())) else {
            bail!("there are no names left");
        };
        short.insert(name, free);
    }
    Ok(short)
}

/// Whether a name ends in sixteen hexadecimal digits.
fn has_hash(name: &str) -> bool {
    let digits = name.bytes().rev().take_while(u8::is_ascii_hexdigit).count();
    digits >= 16 && name.len() > 16
}

/// The words of a script.
fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|letter: char| !is_of_word(letter))
        .filter(|word| !word.is_empty())
}

fn is_of_word(letter: char) -> bool {
    letter.is_ascii_alphanumeric() || letter == '_' || letter == '$'
}

fn rename_in_module(text: &str, short: &Short) -> String {
    let mut renamed = String::new();
    let mut rest = text;
    while !rest.is_empty() {
        let word = rest
            .find(|letter| !is_of_word(letter))
            .unwrap_or(rest.len());
        let (word, after) = rest.split_at(word);
        renamed.push_str(short.get(word).map_or(word, String::as_str));
        let between = after.find(is_of_word).unwrap_or(after.len());
        let (between, after) = after.split_at(between);
        renamed.push_str(between);
        rest = after;
    }
    renamed
}

fn rename_in_program(program: &[u8], short: &Short) -> Result<Vec<u8>> {
    let mut renamed = Module::new();
    for part in Parser::new(0).parse_all(program) {
        let part = part?;
        let Some((id, range)) = part.as_section() else {
            continue;
        };
        let place = usize::try_from(range.start)?..usize::try_from(range.end)?;
        let data = program.get(place).context("a section is cut short")?;
        let data = if matches!(part, Payload::ImportSection(_)) {
            renamed_entries(data, short, 2)?
        } else if matches!(part, Payload::ExportSection(_)) {
            renamed_entries(data, short, 1)?
        } else {
            data.to_vec()
        };
        renamed.section(&RawSection { id, data: &data });
    }
    Ok(renamed.finish())
}

/// The entries of a section, each of which begins with `names` names, of which the last may be a long one.
fn renamed_entries(section: &[u8], short: &Short, names: usize) -> Result<Vec<u8>> {
    let mut reader = wasmparser::BinaryReader::new(section, 0);
    let count = reader.read_var_u32()?;
    let mut renamed = Vec::new();
    count.encode(&mut renamed);
    for _entry in 0..count {
        for place in 1..=names {
            let name = reader.read_string()?;
            let short = short.get(name).filter(|_| place == names);
            short.map_or(name, String::as_str).encode(&mut renamed);
        }
        let begin = reader.original_position();
        if names == 2 {
            skip_type(&mut reader)?;
        } else {
            reader.read_u8()?;
            reader.read_var_u32()?;
        }
        let rest =
            section.get(usize::try_from(begin)?..usize::try_from(reader.original_position())?);
        renamed.extend(rest.context("an entry is cut short")?);
    }
    Ok(renamed)
}

/// Steps over the type of what is imported.
fn skip_type(reader: &mut wasmparser::BinaryReader<'_>) -> Result<(), BinaryReaderError> {
    reader.read::<wasmparser::TypeRef>().map(drop)
}

#[cfg(test)]
mod tests {
    use wasm_encoder::{EntityType, ExportKind, ExportSection, ImportSection, TypeSection};

    use super::*;

    const OPEN: &str = "__wbg_open_0123456789abcdef";
    const INVOKE: &str = "wasm_bindgen__invoke______h0123456789abcdef";

    /// A program that imports a function and hands it on, and also one that is named by hand.
    fn program(import: &str, export: &str) -> Vec<u8> {
        let mut types = TypeSection::new();
        types.ty().function([], []);
        let mut imports = ImportSection::new();
        imports.import("./app_bg.js", import, EntityType::Function(0));
        let mut exports = ExportSection::new();
        exports.export(export, ExportKind::Func, 0);
        exports.export("__stack_pointer", ExportKind::Func, 0);
        let mut module = Module::new();
        module.section(&types).section(&imports).section(&exports);
        module.finish()
    }

    #[test]
    fn both_files_use_the_same_short_names() {
        let module = format!(
            "const _0 = {{ {OPEN}: function() {{}} }}; wasm.{INVOKE}(_0, '__stack_pointer');"
        );
        let long = program(OPEN, INVOKE);
        let short = short_names(&long, &module).unwrap();
        assert_eq!(
            rename_in_module(&module, &short),
            "const _0 = { _1: function() {} }; wasm._2(_0, '__stack_pointer');"
        );
        assert_eq!(
            rename_in_program(&long, &short).unwrap(),
            program("_1", "_2")
        );
    }

    #[test]
    fn names_that_stand_in_one_file_only_stay() {
        let long = program(OPEN, INVOKE);
        let short = short_names(&long, "nothing").unwrap();
        assert_eq!(rename_in_program(&long, &short).unwrap(), long);
        assert!(!has_hash("__wbindgen_init_externref_table"));
        assert!(!has_hash("0123456789abcdef"));
    }
}
