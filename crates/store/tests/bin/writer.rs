//! A program for tests to kill, or to cut the power of. It says when something is done.
//!
//! `write URL full|lost-on-power-cut PREFIX TASKS WRITES` writes numbered customers, some with a photo.
//! `backup URL FOLDER` makes backups `FOLDER/0`, `FOLDER/1` … without end.
//! `import URL FOLDER` takes an export in, once.
//! `migrate URL` opens as a program of the next schema.
//! `restore URL FROM BACKUP BACKUP` restores one backup and the other in turn, at the times FROM, FROM + 1 … without end.

#![allow(clippy::unwrap_used, clippy::panic)] // a test's own program

use std::env::args;
use std::io::Write;
use std::path::Path;

use store::records::Customer;
use store::{By, Durability, Kind, Store, restore};

/// A change of schema that copies, changes and drops.
const NEXT_SCHEMA: &str = "
    CREATE TABLE longer AS SELECT kind, id, body || body AS twice FROM records;
    UPDATE records SET updated_ms = updated_ms + 1;
    CREATE INDEX longer_by_id ON longer (id);
    DROP INDEX history_by_deed;";

#[tokio::main(flavor = "multi_thread", worker_threads = 2)]
async fn main() {
    let words: Vec<String> = args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    match words[..] {
        ["write", url, durability, prefix, tasks, writes] => {
            write_all(url, durability, prefix, tasks.parse().unwrap(), writes.parse().unwrap()).await;
        }
        ["backup", url, folder] => {
            let store = Store::open(url).await.unwrap();
            say("ready");
            for n in 0.. {
                store.backup(&Path::new(folder).join(n.to_string()), n).await.unwrap();
                say(&n.to_string());
            }
        }
        ["import", url, folder] => {
            let store = Store::open(url).await.unwrap();
            say("ready");
            store.import(Path::new(folder)).await.unwrap();
            say("done");
        }
        ["migrate", url] => {
            say("ready");
            Store::open_with_later(url, &[NEXT_SCHEMA]).await.unwrap();
            say("done");
        }
        ["restore", url, from, one, other] => {
            say("ready");
            for n in from.parse().unwrap().. {
                let backup = if n % 2 == 0 { one } else { other };
                restore(Path::new(backup), url, n).await.unwrap();
                say(&n.to_string());
            }
        }
        _ => panic!("{words:?}"),
    }
}

async fn write_all(url: &str, durability: &str, prefix: &str, tasks: u64, writes: u64) {
    let durability = if durability == "full" { Durability::Full } else { Durability::LostOnPowerCut };
    let store = Store::open_with(url, durability).await.unwrap();
    say("ready");
    let tasks = (0..tasks).map(|task| {
        let (store, prefix) = (store.clone(), prefix.to_owned());
        tokio::spawn(async move {
            for n in 0..writes {
                write(&store, &format!("{prefix}-{task}-{n}"), n % 5 == 0).await;
            }
        })
    });
    for task in tasks.collect::<Vec<_>>() {
        task.await.unwrap();
    }
}

async fn write(store: &Store, name: &str, with_photo: bool) {
    let by = By::new("writer", "test", 1_774_000_000_000).with_key(name);
    let customer = Customer { name: name.into(), notes: "x".repeat(300), ..Customer::default() };
    let kept = store.add(&by, &customer).await.unwrap();
    say(name);
    if with_photo {
        let by = By { key: None, ..by };
        let bytes = name.as_bytes().repeat(2000);
        store.add_photo(&by, (Kind::Customer, &kept.id), name, "image/png", &bytes).await.unwrap();
        say(&format!("photo {name}"));
    }
}

/// One line in one write, so that a kill leaves whole lines and one piece at most.
fn say(line: &str) {
    let mut out = std::io::stdout().lock();
    out.write_all(format!("{line}\n").as_bytes()).unwrap();
    out.flush().unwrap();
}
