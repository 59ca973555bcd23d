//! Files of the maker's: reading with limits, finding the workshop, writing whole or not at all.

use super::Stop;
use crate::find::{Finding, Source};
use crate::logo;
use crate::product::{Fetched, Shelf, Shelves};
use crate::yaml::{MOST_BYTES, too_large};
use std::cell::RefCell;
use std::collections::BTreeSet;
use std::fs;
use std::io::{ErrorKind, Read, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;

thread_local! {
    /// What this run has read: none of it is written over.
    static READ: RefCell<BTreeSet<PathBuf>> = const { RefCell::new(BTreeSet::new()) };
}

fn note_read(path: &Path) {
    if let Ok(full) = fs::canonicalize(path) {
        READ.with_borrow_mut(|read| read.insert(full));
    }
}

/// Reads a YAML text: at most [`MOST_BYTES`], UTF-8.
///
/// # Errors
/// [`Stop::Input`] when there is no such file, it is too large or not UTF-8; [`Stop::Machine`] when it cannot be read.
pub fn read(path: &Path) -> Result<Arc<Source>, Stop> {
    let bytes = bytes(path, MOST_BYTES, "YAML file", too_large)?;
    text(&shown(path), &bytes).map(Arc::new).map_err(Stop::input)
}

/// A path as the user would type it: `./workshop.yaml` is what nobody types.
fn shown(path: &Path) -> String {
    path.strip_prefix(".").ok().filter(|p| !p.as_os_str().is_empty()).unwrap_or(path).display().to_string()
}

/// Reads a file of at most `most` bytes.
///
/// # Errors
/// [`Stop::Input`] when there is no such file or it is too large; [`Stop::Machine`] when it cannot be read.
pub fn bytes(path: &Path, most: usize, what: &str, too_large: fn(&str, u64) -> Finding) -> Result<Vec<u8>, Stop> {
    let name = shown(path);
    let trouble = |e: &std::io::Error| match e.kind() {
        // What is no YAML file is never a product of a workshop.
        ErrorKind::NotFound if what != "YAML file" => {
            let cure = format!("look at the name; the {what} is looked for from this folder");
            Stop::input(Finding::input("file/not-found", format!("there is no file `{name}`"), cure))
        }
        ErrorKind::NotFound => Stop::input(no_such_file(path)),
        ErrorKind::IsADirectory => {
            Stop::input(Finding::input("file/is-a-folder", format!("`{name}` is a folder"), "name the file in it"))
        }
        _ => Stop::Machine(format!("`{name}` cannot be read: {}; check who may read it", e.kind())),
    };
    let meta = fs::metadata(path).map_err(|e| trouble(&e))?;
    if meta.is_dir() {
        return Err(Stop::input(Finding::input(
            "file/is-a-folder",
            format!("`{name}` is a folder"),
            format!("name the {what} in it"),
        )));
    }
    if !meta.is_file() {
        // A pipe could keep the program waiting for ever.
        return Err(Stop::input(Finding::input(
            "file/not-a-file",
            format!("`{name}` is a pipe or a device"),
            "save the text into a file and name that",
        )));
    }
    if meta.len() > most as u64 {
        return Err(Stop::input(too_large(&name, meta.len())));
    }
    let mut bytes = Vec::new();
    // The limit holds for a file that grows meanwhile, too.
    let file = fs::File::open(path).map_err(|e| trouble(&e))?;
    file.take(most as u64 + 1).read_to_end(&mut bytes).map_err(|e| trouble(&e))?;
    if bytes.len() > most {
        return Err(Stop::input(too_large(&name, bytes.len() as u64)));
    }
    note_read(path);
    Ok(bytes)
}

/// Bytes as UTF-8 text, without a byte-order mark.
pub fn text(name: &str, bytes: &[u8]) -> Result<Source, Finding> {
    let wrong = |message: String| {
        Err(Finding::input("file/not-utf-8", message, "save the file as UTF-8 text in your editor and try again"))
    };
    if bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]) {
        return wrong(format!("`{name}` is saved as UTF-16"));
    }
    let bytes = bytes.strip_prefix(&[0xEF, 0xBB, 0xBF]).unwrap_or(bytes);
    if bytes.contains(&0) {
        return wrong(format!("`{name}` is not a text file"));
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => Ok(Source { name: name.to_owned(), text: text.to_owned() }),
        Err(e) => {
            let line = bytes[..e.valid_up_to()].iter().filter(|b| **b == b'\n').count() + 1;
            wrong(format!("`{name}` is not UTF-8 text: line {line} has a character saved in another encoding"))
        }
    }
}

fn no_such_file(path: &Path) -> Finding {
    let name = path.display();
    // A bare name means a product of the workshop one stands in.
    let shelf = Path::new("products").join(path);
    let bare = path.components().count() == 1 && path.extension().is_none() && Path::new("products").is_dir();
    let path = if bare { shelf.as_path() } else { path };
    let there = path.parent().map(|p| if p.as_os_str().is_empty() { Path::new(".") } else { p });
    let names = there.map(yaml_names).unwrap_or_default();
    let words: Vec<&str> = names.iter().map(String::as_str).collect();
    let wanted = path.file_stem().and_then(|s| s.to_str()).unwrap_or("");
    let cure = match crate::find::nearest(wanted, &words) {
        Some(near) => format!("did you mean `{}`?", path.with_file_name(format!("{near}.yaml")).display()),
        None if names.is_empty() => {
            "name a product file, for example `products/low-tide.yaml`; `waxbill new FOLDER` makes some".to_owned()
        }
        None => format!("there are `{}`", names.join(".yaml`, `") + ".yaml"),
    };
    Finding::input("file/not-found", format!("there is no file `{name}`"), cure)
}

/// Names, without ending, of the YAML files in a folder, sorted.
pub fn yaml_names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .into_iter()
        .flatten()
        .flatten()
        .filter_map(|e| {
            let path = e.path();
            path.extension()
                .is_some_and(|x| x == "yaml")
                .then(|| path.file_stem()?.to_str().map(str::to_owned))
                .flatten()
        })
        .take(500)
        .collect();
    names.sort();
    names
}

/// The workshop a product lies in.
#[derive(Debug, Clone)]
pub struct Workshop {
    /// Its folder, if the product lies in one: as short as the user would type it.
    pub root: Option<PathBuf>,
}

impl Workshop {
    /// Looks for `workshop.yaml` beside the file and in the folders above it; for a link whose folder belongs to no
    /// workshop, beside the file it points to.
    #[must_use]
    pub fn around(product: &Path) -> Self {
        let folder = product.parent().filter(|f| !f.as_os_str().is_empty()).unwrap_or(Path::new("."));
        let above = |full: PathBuf| full.ancestors().take(40).find(|f| is_workshop(f)).map(Path::to_path_buf);
        let target = || fs::canonicalize(product).ok().and_then(|full| above(full.parent()?.to_path_buf()));
        let found = fs::canonicalize(folder).ok().and_then(above).or_else(target);
        Self { root: found.map(|found| shortened(found, folder)) }
    }
}

fn is_workshop(folder: &Path) -> bool {
    folder.join("workshop.yaml").is_file()
}

/// The folder as the user would type it: part of the path given, or from where one stands; only if that is the same folder.
fn shortened(found: PathBuf, given: &Path) -> PathBuf {
    let mut ways: Vec<PathBuf> = given.ancestors().map(Path::to_path_buf).collect();
    ways.extend((1..4).map(|up| PathBuf::from(vec![".."; up].join("/"))));
    let same = |way: &PathBuf| {
        let way = if way.as_os_str().is_empty() { Path::new(".") } else { way.as_path() };
        fs::canonicalize(way).is_ok_and(|full| full == found)
    };
    ways.into_iter().find(same).unwrap_or(found)
}

impl Shelves for Workshop {
    fn fetch(&self, shelf: Shelf, name: &str) -> Fetched {
        let Some(root) = &self.root else { return Fetched::Missing(Vec::new()) };
        let folder = root.join(shelf.folder());
        let plain = !name.is_empty() && name.len() < 100 && !name.starts_with('.') && !name.contains(['/', '\\', ':']);
        let path = folder.join(format!("{name}.yaml"));
        let there = fs::metadata(&path);
        if let Err(e) = fs::read_dir(&folder)
            && e.kind() != ErrorKind::NotFound
        {
            let message = format!("the folder `{}` cannot be read: {}", folder.display(), e.kind());
            return Fetched::Failed(Finding::input("file/unreadable", message, "check who may read it"));
        }
        if !plain || there.is_err() {
            return Fetched::Missing(yaml_names(&folder));
        }
        match read(&path) {
            Ok(source) => Fetched::Found(source),
            Err(stop) => Fetched::Failed(stop.into_finding()),
        }
    }

    fn picture(&self, name: &str) -> Option<Result<Vec<u8>, Finding>> {
        let path = self.root.as_ref()?.join(name);
        let meta = fs::metadata(&path).ok().filter(fs::Metadata::is_file)?;
        if meta.len() > logo::MOST_BYTES as u64 {
            return Some(Err(logo::too_large(name, meta.len())));
        }
        note_read(&path);
        let mut bytes = Vec::new();
        // One byte more tells a file that grew meanwhile.
        let read = fs::File::open(&path).and_then(|f| f.take(logo::MOST_BYTES as u64 + 1).read_to_end(&mut bytes));
        Some(read.map(|_| bytes).map_err(|e| {
            let message = format!("`{}` cannot be read: {}", path.display(), e.kind());
            Finding::input("file/unreadable", message, "check who may read it")
        }))
    }

    fn workshop(&self) -> Option<Result<Arc<Source>, Finding>> {
        let root = self.root.as_ref()?;
        Some(read(&root.join("workshop.yaml")).map_err(Stop::into_finding))
    }
}

/// Refuses a file the maker named for a result when something else would be lost there: what is there must be such a file
/// already (it begins with one of `heads`), not read in this run, and no paper or record of the workshop.
///
/// # Errors
/// [`Stop::Input`] with what stands there.
pub fn may_replace(path: &Path, heads: &[impl AsRef<[u8]>]) -> Result<(), Stop> {
    let refused = |what: &str| {
        let cure = "name a new file, or remove the old one yourself; nothing was written";
        Err(Stop::input(Finding::input("file/would-be-lost", format!("`{}` {what}", path.display()), cure)))
    };
    if let Some(root) = &Workshop::around(path).root {
        let folder = path.parent().filter(|f| !f.as_os_str().is_empty()).unwrap_or(Path::new("."));
        let (full, root) =
            (fs::canonicalize(folder).unwrap_or_default(), fs::canonicalize(root.join(".")).unwrap_or_default());
        let ledger = path.file_name().is_some_and(|n| n.to_string_lossy().starts_with("ledger.sqlite"));
        if full.starts_with(root.join("lots")) {
            return refused("lies among the papers of recorded lots");
        }
        if full == root && ledger {
            return refused("is the ledger's name");
        }
    }
    let Ok(meta) = fs::symlink_metadata(path) else { return Ok(()) };
    if meta.is_dir() {
        return refused("is a folder");
    }
    if !meta.is_file() {
        return refused("is a link, a pipe or a device");
    }
    if fs::canonicalize(path).is_ok_and(|full| READ.with_borrow(|read| read.contains(&full))) {
        return refused("is one of the files this is made from");
    }
    let mut head = Vec::new();
    let read = fs::File::open(path).and_then(|file| file.take(16).read_to_end(&mut head));
    if read.is_err() || !(head.is_empty() || heads.iter().any(|h| head.starts_with(h.as_ref()))) {
        return refused("is there already, and is another kind of file");
    }
    Ok(())
}

/// Writes a file whole or not at all: into a temporary file beside it, flushed to the disk, then renamed.
///
/// # Errors
/// [`Stop::Machine`] with the path and what the system said.
pub fn write(path: &Path, bytes: &[u8]) -> Result<(), Stop> {
    let failed = |e: &dyn std::fmt::Display| {
        Stop::Machine(format!(
            "`{}` cannot be written: {e}; check the folder, who may write there, and the room on the disk",
            path.display()
        ))
    };
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    if path.is_dir() {
        return Err(failed(&"it is a folder"));
    }
    if !folder.is_dir() {
        return Err(failed(&format!("there is no folder `{}`", folder.display())));
    }
    // The kind only: the system's own words would name the temporary file.
    let mut file = tempfile::Builder::new().prefix(".waxbill-").tempfile_in(folder).map_err(|e| failed(&e.kind()))?;
    file.write_all(bytes).and_then(|()| file.as_file().sync_all()).map_err(|e| failed(&e.kind()))?;
    readable_by_all(file.as_file());
    file.persist(path).map_err(|e| failed(&e.error.kind()))?;
    sync_folder(folder);
    Ok(())
}

/// Temporary files are private; a label is not.
fn readable_by_all(file: &fs::File) {
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let _ = file.set_permissions(fs::Permissions::from_mode(0o644));
    }
    #[cfg(not(unix))]
    let _ = file;
}

/// Temporary folders are private; a workshop is not.
pub fn open_to_all(folder: &Path) {
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let _ = fs::set_permissions(folder, fs::Permissions::from_mode(0o755));
    }
    #[cfg(not(unix))]
    let _ = folder;
}

/// Makes a rename in this folder last through a power cut, where the system can.
pub fn sync_folder(folder: &Path) {
    if let Ok(handle) = fs::File::open(folder) {
        let _ = handle.sync_all();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn other_encodings_are_named() {
        assert!(text("a", &[0xFF, 0xFE, 0x61, 0]).unwrap_err().message.contains("UTF-16"));
        assert!(text("a", b"a: 1\nb: \xE9\n").unwrap_err().message.contains("line 2"));
        assert!(text("a", b"\0\0").unwrap_err().message.contains("not a text file"));
        assert_eq!(text("a", b"\xEF\xBB\xBFa: 1").unwrap().text, "a: 1");
    }
}
