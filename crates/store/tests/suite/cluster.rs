//! A throw-away PostgreSQL server for the tests of this process. It ends with the process, however that ends.

use std::os::unix::process::CommandExt;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::atomic::{AtomicU32, Ordering};
use std::sync::{Mutex, OnceLock};
use std::time::Duration;
use std::{env, fs, process, thread};

struct Cluster {
    folder: PathBuf,
    psql: PathBuf,
    /// Its standard input is the leash: the server stops when it closes.
    _server: Child,
}

/// URL of a new, empty database.
pub(crate) fn new_database() -> String {
    static CLUSTER: OnceLock<Cluster> = OnceLock::new();
    static ONE_AT_A_TIME: Mutex<()> = Mutex::new(());
    static COUNT: AtomicU32 = AtomicU32::new(0);
    let cluster = CLUSTER.get_or_init(start);
    let name = format!("workshop_{}", COUNT.fetch_add(1, Ordering::Relaxed));
    let guard = ONE_AT_A_TIME.lock();
    psql(cluster, &format!("CREATE DATABASE {name}"));
    drop(guard);
    format!("postgres://postgres@localhost/{name}?host={}", cluster.folder.display())
}

/// Finds a program of PostgreSQL, on the path or where Debian keeps it.
fn program(name: &str) -> PathBuf {
    let path = env::var_os("PATH").unwrap_or_default();
    let mut places: Vec<PathBuf> = env::split_paths(&path).collect();
    let versions = fs::read_dir("/usr/lib/postgresql").into_iter().flatten().flatten();
    places.extend(versions.map(|version| version.path().join("bin")));
    places.into_iter().map(|place| place.join(name)).find(|file| file.is_file()).unwrap_or_else(|| {
        panic!("{name} is missing: these tests need a PostgreSQL server (Debian: apt-get install postgresql)")
    })
}

/// PostgreSQL refuses to run as root; then the user `nobody` runs it.
fn as_server_user(command: &mut Command, folder: &Path) {
    const NOBODY: u32 = 65534;
    let own = |line: &str| line.starts_with("Uid:") && line.split_whitespace().nth(2) == Some("0");
    if fs::read_to_string("/proc/self/status").unwrap().lines().any(own) {
        std::os::unix::fs::chown(folder, Some(NOBODY), Some(NOBODY)).unwrap();
        command.uid(NOBODY).gid(NOBODY);
    }
}

fn start() -> Cluster {
    let (initdb, postgres, psql) = (program("initdb"), program("postgres"), program("psql"));
    let folder = env::temp_dir().join(format!("store-postgres-{}", process::id()));
    fs::create_dir_all(&folder).unwrap();
    let data = folder.join("data");
    let mut make = Command::new(initdb);
    make.args(["-U", "postgres", "-A", "trust", "-E", "UTF8", "--no-locale", "--no-sync", "-D"]).arg(&data);
    as_server_user(&mut make, &folder);
    let made = make.current_dir(&folder).output().unwrap();
    assert!(made.status.success(), "initdb: {}", String::from_utf8_lossy(&made.stderr));

    // the leash: when this process ends, its end of the pipe closes and the shell stops the server
    let script = "\"$1\" -D \"$2/data\" -k \"$2\" -c listen_addresses= -c fsync=off -c max_connections=300 \
                  >\"$2/log\" 2>&1 & server=$!; cat >/dev/null; kill -QUIT $server; wait $server; rm -rf \"$2\"";
    let mut run = Command::new("sh");
    run.args(["-c", script, "sh"]).arg(postgres).arg(&folder).stdin(Stdio::piped()).current_dir(&folder);
    as_server_user(&mut run, &folder);
    let cluster = Cluster { _server: run.spawn().unwrap(), folder, psql };
    for _ in 0..600 {
        if try_psql(&cluster, "SELECT 1") {
            return cluster;
        }
        thread::sleep(Duration::from_millis(50));
    }
    panic!("PostgreSQL does not start: {}", fs::read_to_string(cluster.folder.join("log")).unwrap_or_default());
}

fn try_psql(cluster: &Cluster, sql: &str) -> bool {
    let mut command = Command::new(&cluster.psql);
    command.args(["-X", "-q", "-U", "postgres", "-d", "postgres", "-c", sql, "-h"]).arg(&cluster.folder);
    command.stdout(Stdio::null()).stderr(Stdio::null()).status().unwrap().success()
}

fn psql(cluster: &Cluster, sql: &str) {
    assert!(try_psql(cluster, sql), "psql: {sql}");
}
