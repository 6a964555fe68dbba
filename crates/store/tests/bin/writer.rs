//! Writes numbered customers, some with a photo, and says of each when it is kept. For tests that kill it or cut its power.
//!
//! Arguments: URL, `full` or `lost-on-power-cut`, a prefix for names, number of tasks, writes of each task.

#![allow(clippy::unwrap_used)] // a test's own program

use std::env::args;
use std::io::Write;

use store::records::Customer;
use store::{By, Durability, Kind, Store};

#[tokio::main(flavor = "multi_thread", worker_threads = 2)]
async fn main() {
    let [url, durability, prefix, tasks, writes]: [String; 5] = args().skip(1).collect::<Vec<_>>().try_into().unwrap();
    let durability = if durability == "full" { Durability::Full } else { Durability::LostOnPowerCut };
    let store = Store::open_with(&url, durability).await.unwrap();
    say("ready");
    let writes: u64 = writes.parse().unwrap();
    let tasks = (0..tasks.parse().unwrap()).map(|task: u64| {
        let (store, prefix) = (store.clone(), prefix.clone());
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
