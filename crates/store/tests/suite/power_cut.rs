//! Power cut at any moment: what a writer did to its files is recorded, and replayed up to a moment as a disk may have
//! it. What was synced is there; of what was not, nothing, the first part, or torn pieces.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Command;

use store::Store;

use crate::bench::{Folder, check_on};
use crate::kills::{assert_kept, lost, times};

const TASKS: &str = "3";
const WRITES: &str = "40";
const SECTOR: usize = 512;

enum Event {
    Write {
        path: String,
        at: usize,
        bytes: Vec<u8>,
    },
    Truncate {
        path: String,
        length: usize,
    },
    /// A sync that returned; what was written before it began is on disk.
    Synced {
        path: String,
        began: usize,
    },
    Unlinked {
        path: String,
    },
    Acknowledged(Vec<String>),
}

#[derive(Clone, Copy, PartialEq)]
enum Unsynced {
    Dropped,
    FirstPart,
    Torn,
}

/// Small generator of numbers that look random; the same each run.
struct Dice(u64);

impl Dice {
    fn below(&mut self, limit: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % limit.max(1)
    }
}

#[test]
fn law_what_was_acknowledged_survives_a_power_cut() {
    check_on(Box::pin(what_was_acknowledged_survives_a_power_cut_check()));
}

async fn what_was_acknowledged_survives_a_power_cut_check() {
    let recording = record("full");
    let mut dice = Dice(1);
    for image in 0..times(100) {
        let unsynced = [Unsynced::Dropped, Unsynced::FirstPart, Unsynced::Torn][image as usize % 3];
        let (folder, acknowledged) = recording.image(&mut dice, unsynced);
        let store = Store::open(&url(&folder)).await.unwrap();
        assert_kept(&store, &acknowledged, &folder.join("backups")).await;
        store.close().await;
    }
}

/// The rig can tell: with syncing left out, acknowledged writes are lost.
#[test]
fn law_the_rig_finds_a_loss_where_commits_are_not_synced() {
    check_on(Box::pin(the_rig_finds_a_loss_where_commits_are_not_synced_check()));
}

async fn the_rig_finds_a_loss_where_commits_are_not_synced_check() {
    let recording = record("lost-on-power-cut");
    let mut dice = Dice(2);
    let mut images_with_loss = 0;
    for _ in 0..20 {
        let (folder, acknowledged) = recording.image(&mut dice, Unsynced::Dropped);
        let store = Store::open(&url(&folder)).await.unwrap();
        images_with_loss += usize::from(!lost(&store, &acknowledged).await.is_empty());
        store.close().await;
    }
    assert!(images_with_loss > 0);
}

fn url(folder: &Folder) -> String {
    folder.join("workshop.sqlite").display().to_string()
}

struct Recording(Vec<Event>);

/// Runs a writer on a new store under `strace`.
fn record(durability: &str) -> Recording {
    let folder = Folder::new();
    let trace = folder.join("trace");
    let calls = "trace=pwrite64,write,fsync,fdatasync,ftruncate,unlink,unlinkat,rename,lseek,pwritev,writev";
    let run = Command::new("strace")
        .args(["-f", "-y", "-xx", "-s", "200000", "-e", calls, "-o"])
        .arg(&trace)
        .args([env!("CARGO_BIN_EXE_store_writer"), "write", &url(&folder), durability, "w", TASKS, WRITES])
        .output()
        .unwrap_or_else(|e| panic!("strace is missing: {e} (Debian: apt-get install strace)"));
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    let text = fs::read_to_string(&trace).unwrap();
    let events = events(&text, folder.path());
    let syncs = events.iter().filter(|event| matches!(event, Event::Synced { .. })).count();
    let acknowledged: usize =
        events.iter().map(|event| if let Event::Acknowledged(names) = event { names.len() } else { 0 }).sum();
    assert!(acknowledged > 100, "{acknowledged} acknowledgements");
    assert!(durability != "full" || syncs > acknowledged, "{syncs} syncs, {acknowledged} acknowledgements");
    Recording(events)
}

impl Recording {
    /// The files as a disk may have them after a power cut at a random moment, and what was acknowledged before it.
    fn image(&self, dice: &mut Dice, unsynced: Unsynced) -> (Folder, Vec<String>) {
        let cut = dice.below(self.0.len());
        let (mut disk, mut acknowledged) = (Disk::default(), Vec::new());
        for (n, event) in self.0[..cut].iter().enumerate() {
            match event {
                Event::Write { path, at, bytes } => {
                    disk.file(path).unsynced.push((n, Change::Write(*at, bytes)));
                }
                Event::Truncate { path, length } => {
                    disk.file(path).unsynced.push((n, Change::Truncate(*length)));
                }
                Event::Synced { path, began } => disk.file(path).sync(*began),
                Event::Unlinked { path } => drop(disk.0.remove(path)),
                Event::Acknowledged(names) => acknowledged.extend(names.iter().cloned()),
            }
        }
        let folder = Folder::new();
        for (name, file) in disk.0 {
            fs::write(folder.join(&name), file.after_cut(dice, unsynced)).unwrap();
        }
        acknowledged.retain(|name| name != "ready");
        (folder, acknowledged)
    }
}

#[derive(Default)]
struct Disk<'a>(BTreeMap<String, File<'a>>);

impl<'a> Disk<'a> {
    fn file(&mut self, name: &str) -> &mut File<'a> {
        self.0.entry(name.to_owned()).or_default()
    }
}

#[derive(Default)]
struct File<'a> {
    synced: Vec<u8>,
    unsynced: Vec<(usize, Change<'a>)>,
}

enum Change<'a> {
    Write(usize, &'a [u8]),
    Truncate(usize),
}

impl Change<'_> {
    fn apply(&self, bytes: &mut Vec<u8>) {
        match self {
            Self::Write(at, new) => {
                bytes.resize(bytes.len().max(at + new.len()), 0);
                bytes[*at..at + new.len()].copy_from_slice(new);
            }
            Self::Truncate(length) => bytes.resize(*length, 0),
        }
    }

    /// Some of the sectors of a write.
    fn tear(&self, dice: &mut Dice, bytes: &mut Vec<u8>) {
        match self {
            Self::Write(at, new) => {
                let (mut at, mut rest) = (*at, *new);
                while !rest.is_empty() {
                    let (sector, others) = rest.split_at(rest.len().min(SECTOR - at % SECTOR));
                    if dice.below(2) == 0 {
                        Change::Write(at, sector).apply(bytes);
                    }
                    at += sector.len();
                    rest = others;
                }
            }
            Self::Truncate(_) => {
                if dice.below(2) == 0 {
                    self.apply(bytes);
                }
            }
        }
    }
}

impl File<'_> {
    fn sync(&mut self, began: usize) {
        let later = self.unsynced.split_off(self.unsynced.partition_point(|(n, _)| *n < began));
        for (_, change) in self.unsynced.drain(..) {
            change.apply(&mut self.synced);
        }
        self.unsynced = later;
    }

    fn after_cut(mut self, dice: &mut Dice, unsynced: Unsynced) -> Vec<u8> {
        let kept = match unsynced {
            Unsynced::Dropped => 0,
            Unsynced::FirstPart => dice.below(self.unsynced.len() + 1),
            Unsynced::Torn => self.unsynced.len(),
        };
        for (_, change) in &self.unsynced[..kept] {
            if unsynced == Unsynced::Torn {
                change.tear(dice, &mut self.synced);
            } else {
                change.apply(&mut self.synced);
            }
        }
        self.synced
    }
}

/// What a trace tells of the files in a folder and of standard output.
fn events(trace: &str, folder: &Path) -> Vec<Event> {
    let mut events = Vec::new();
    // syncs that have not returned, by thread
    let mut syncing: BTreeMap<&str, (String, usize)> = BTreeMap::new();
    for line in trace.lines() {
        let (thread, call) = line.split_once(' ').unwrap();
        let call = call.trim_start();
        if call.starts_with("<... fsync resumed") || call.starts_with("<... fdatasync resumed") {
            if let Some((path, began)) = syncing.remove(thread) {
                events.push(Event::Synced { path, began });
            }
            continue;
        }
        let Some((name, arguments)) = call.split_once('(') else { continue };
        if name == "write" && arguments.starts_with("1<") {
            let said = String::from_utf8(unhex(quoted(arguments))).unwrap();
            events.push(Event::Acknowledged(said.lines().map(str::to_owned).collect()));
            continue;
        }
        let Some(path) = name_in(folder, name, arguments) else { continue };
        match name {
            "pwrite64" => {
                let at = arguments.rsplit_once('"').unwrap().1.split([',', ')', '<']).nth(2).unwrap();
                let (at, bytes) = (at.trim().parse().unwrap(), unhex(quoted(arguments)));
                events.push(Event::Write { path, at, bytes });
            }
            "ftruncate" => {
                let length = arguments.split_once(", ").unwrap().1.split([')', ' ']).next().unwrap();
                events.push(Event::Truncate { path, length: length.parse().unwrap() });
            }
            "fsync" | "fdatasync" if line.ends_with("<unfinished ...>") => {
                syncing.insert(thread, (path, events.len()));
            }
            "fsync" | "fdatasync" => events.push(Event::Synced { path, began: events.len() }),
            "unlink" => events.push(Event::Unlinked { path }),
            other => panic!("{other} on {path}: the replay does not know it"),
        }
    }
    events
}

/// Name of the file of a call, where it lies in the folder and outlasts a power cut.
fn name_in(folder: &Path, call: &str, arguments: &str) -> Option<String> {
    let path = match call {
        "unlink" | "unlinkat" | "rename" => quoted(arguments),
        _ => arguments.split_once('<')?.1.split_once('>')?.0,
    };
    let path = String::from_utf8(unhex(path)).ok()?;
    let name = Path::new(&path).strip_prefix(folder).ok()?.to_str()?.to_owned();
    (!name.is_empty() && !name.ends_with("-shm")).then_some(name)
}

fn quoted(arguments: &str) -> &str {
    arguments.split_once('"').and_then(|(_, rest)| rest.split_once('"')).map_or("", |(text, _)| text)
}

/// Bytes of `\x61\x62…`; what is not written so is kept as it is.
fn unhex(text: &str) -> Vec<u8> {
    if !text.starts_with("\\x") {
        return text.into();
    }
    text.split("\\x").skip(1).map(|digits| u8::from_str_radix(digits, 16).unwrap()).collect()
}
