//! Users, their passwords' hashes, sessions, tokens and codes. Secrets never come in here, only their digests.

use serde::{Deserialize, Serialize};
use sqlx::AnyConnection;

use crate::by::{By, plain_text};
use crate::database::Store;
use crate::error::{Error, Result};
use crate::packed::Packed;
use crate::records::{Id, Kind, Role, Stored, User, read_body};
use crate::work::{Work, begin};

/// What a secret opens.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SecretPurpose {
    /// A signed-in browser.
    Session,
    /// A program that uses the API.
    Token,
    /// An enrolled device.
    Device,
    /// A calendar feed.
    CalendarFeed,
    /// The form of a postal sale.
    PostalForm,
    /// The first page of a new workshop.
    SetUp,
    /// One answer, for the customer who asked.
    AnswerLink,
}

impl SecretPurpose {
    const ALL: [Self; 7] = [
        Self::Session,
        Self::Token,
        Self::Device,
        Self::CalendarFeed,
        Self::PostalForm,
        Self::SetUp,
        Self::AnswerLink,
    ];

    /// Name in the database.
    pub fn name(self) -> &'static str {
        match self {
            Self::Session => "session",
            Self::Token => "token",
            Self::Device => "device",
            Self::CalendarFeed => "calendar_feed",
            Self::PostalForm => "postal_form",
            Self::SetUp => "set_up",
            Self::AnswerLink => "answer_link",
        }
    }

    fn from_name(name: &str) -> Result<Self> {
        let found = Self::ALL.into_iter().find(|purpose| purpose.name() == name);
        found.ok_or_else(|| Error::Damaged(format!("purpose of a secret: {name}")))
    }
}

/// A secret to be kept.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct NewSecret {
    /// SHA-256 of the secret, made by the caller.
    pub digest: String,
    /// What it opens.
    pub purpose: SecretPurpose,
    /// Whose it is: a user, a device, a sale.
    pub owner: String,
    /// Device it was made on.
    pub device: String,
    /// What it is for: a token's name and scope.
    pub scope: String,
    /// Ends when it is not used for so long, ms.
    pub idle_ms: Option<i64>,
    /// Ends at, ms.
    pub ends_ms: Option<i64>,
}

/// A secret as kept.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, sqlx::FromRow)]
pub struct SecretState {
    /// Name of the secret that may be shown.
    #[sqlx(try_from = "String")]
    pub id: Id,
    /// What it opens.
    #[sqlx(try_from = "String")]
    pub purpose: SecretPurpose,
    /// Whose it is.
    pub owner: String,
    /// Device it was made on.
    pub device: String,
    /// What it is for.
    pub scope: String,
    /// When it was made, ms.
    pub made_ms: i64,
    /// When it was last used, ms.
    pub used_ms: i64,
    /// Ends when it is not used for so long, ms.
    pub idle_ms: Option<i64>,
    /// Ends at, ms.
    pub ends_ms: Option<i64>,
    /// When it was ended by hand, ms.
    pub ended_ms: Option<i64>,
}

impl TryFrom<String> for SecretPurpose {
    type Error = Error;

    fn try_from(name: String) -> Result<Self> {
        Self::from_name(&name)
    }
}

impl SecretState {
    /// Whether it still opens anything.
    pub fn is_valid(&self, at_ms: i64) -> bool {
        let idle = self.idle_ms.is_some_and(|idle| at_ms - self.used_ms > idle);
        let over = self.ends_ms.is_some_and(|ends| at_ms >= ends);
        self.ended_ms.is_none() && !idle && !over
    }
}

const SECRET: &str = "id, purpose, owner, device, scope, made_ms, used_ms, idle_ms, ends_ms, ended_ms";
/// Uses are noted no more often than this: a page is a dozen requests.
const USED_STEP_MS: i64 = 60_000;

impl Store {
    /// Adds a user under the name to sign in with.
    ///
    /// # Errors
    /// [`Error::Exists`].
    pub async fn add_user(&self, by: &By, sign_in_name: &Id, user: &User) -> Result<Stored<User>> {
        let mut work = begin!(self, by, "add user", (sign_in_name, user));
        let stored = work.add_as(sign_in_name, user).await?;
        work.done(stored).await
    }

    /// Changes a user. A user who may no longer sign in loses all sessions and tokens.
    ///
    /// # Errors
    /// [`Error::Conflict`]; [`Error::Invalid`] where no active owner would be left.
    pub async fn change_user(&self, by: &By, id: &Id, saw: i64, user: &User) -> Result<Stored<User>> {
        let mut work = begin!(self, by, "change user", (id, saw, user));
        let stored = work.change(id, saw, user).await?;
        if !owner_is_left(&mut work).await? {
            return Err(Error::invalid("role", "no active owner left", "at least one active owner"));
        }
        if !user.active {
            end_all(&mut work, id.as_str()).await?;
        }
        work.done(stored).await
    }

    /// Keeps the hash of a user's password or PIN, made by the caller, and ends all sessions of that user.
    ///
    /// # Errors
    /// [`Error::NotFound`] where there is no such user.
    pub async fn set_password(&self, by: &By, user: &Id, hash: &str) -> Result<()> {
        plain_text("hash", hash, 1, 1000)?;
        let mut work = begin!(self, by, "set password", (user, hash));
        work.get::<User>(user).await?;
        sqlx::query(
            "INSERT INTO passwords (owner, hash, set_ms) VALUES ($1, $2, $3)
             ON CONFLICT (owner) DO UPDATE SET hash = $2, set_ms = $3",
        )
        .bind(user.as_str())
        .bind(hash)
        .bind(by.at_ms)
        .execute(work.connection())
        .await?;
        end_all(&mut work, user.as_str()).await?;
        work.note("password", user.as_str()).await?;
        work.done(()).await
    }

    /// The hash of a user's password; none where the user is unknown, may not sign in, or has none.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn password_hash(&self, user: &Id) -> Result<Option<String>> {
        match self.get::<User>(user).await {
            Ok(user) if user.body.active => {}
            Ok(_) | Err(Error::NotFound { .. }) => return Ok(None),
            Err(e) => return Err(e),
        }
        let row: Option<(String,)> = sqlx::query_as("SELECT hash FROM passwords WHERE owner = $1")
            .bind(user.as_str())
            .fetch_optional(&self.reader)
            .await?;
        Ok(row.map(|(hash,)| hash))
    }

    /// Notes a sign-in that failed.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn sign_in_failed(&self, by: &By, account: &str) -> Result<()> {
        plain_text("account", account, 0, 200)?;
        let mut work = begin!(self, by, "sign-in failed", account);
        sqlx::query("INSERT INTO failed_tries (account, device, at_ms) VALUES ($1, $2, $3)")
            .bind(account)
            .bind(&*by.device)
            .bind(by.at_ms)
            .execute(work.connection())
            .await?;
        work.note("sign_in", account).await?;
        work.done(()).await
    }

    /// How many sign-ins to an account failed on a device since a time.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn failed_sign_ins(&self, account: &str, device: &str, since_ms: i64) -> Result<i64> {
        let (count,): (i64,) = sqlx::query_as(
            "SELECT COUNT(*) FROM failed_tries WHERE account = $1 AND device = $2 AND at_ms >= $3",
        )
        .bind(account)
        .bind(device)
        .bind(since_ms)
        .fetch_one(&self.reader)
        .await?;
        Ok(count)
    }

    /// Keeps a secret's digest: opens a session, makes a token, enrols a device, prints a code.
    ///
    /// # Errors
    /// [`Error::Invalid`] for what is no SHA-256 in hexadecimal digits.
    pub async fn add_secret(&self, by: &By, secret: &NewSecret) -> Result<Id> {
        let digest = &secret.digest;
        if digest.len() != 64 || !digest.bytes().all(|b| b.is_ascii_hexdigit()) {
            return Err(Error::invalid("digest", format!("{} signs", digest.len()), "64 hexadecimal digits"));
        }
        plain_text("owner", &secret.owner, 1, 200)?;
        plain_text("device", &secret.device, 0, 200)?;
        plain_text("scope", &secret.scope, 0, 1000)?;
        let mut work = begin!(self, by, &format!("add {}", secret.purpose.name()), secret);
        let id = Id::at(by.at_ms);
        sqlx::query(
            "INSERT INTO secrets (digest, id, purpose, owner, device, scope, made_ms, used_ms, idle_ms, ends_ms)
             VALUES ($1, $2, $3, $4, $5, $6, $7, $7, $8, $9)",
        )
        .bind(&**digest)
        .bind(id.as_str())
        .bind(secret.purpose.name())
        .bind(&*secret.owner)
        .bind(&*secret.device)
        .bind(&*secret.scope)
        .bind(by.at_ms)
        .bind(secret.idle_ms)
        .bind(secret.ends_ms)
        .execute(work.connection())
        .await?;
        work.note(secret.purpose.name(), id.as_str()).await?;
        work.done(id).await
    }

    /// A secret by its digest, if it opens what is asked for; its use is noted.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn use_secret(
        &self,
        digest: &str,
        purpose: SecretPurpose,
        at_ms: i64,
    ) -> Result<Option<SecretState>> {
        let mut connection = self.reader.acquire().await?;
        let secret = secret_of(&mut connection, digest).await?;
        drop(connection);
        let Some(secret) = secret.filter(|s| s.purpose == purpose && s.is_valid(at_ms)) else {
            return Ok(None);
        };
        if at_ms - secret.used_ms >= USED_STEP_MS {
            let mut transaction = self.write().await?;
            sqlx::query("UPDATE secrets SET used_ms = $2 WHERE digest = $1 AND used_ms < $2")
                .bind(digest)
                .bind(at_ms)
                .execute(&mut *transaction)
                .await?;
            transaction.commit().await?;
        }
        Ok(Some(secret))
    }

    /// Secrets of a purpose that have not been ended, newest first; of all owners or of one.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn secrets(&self, purpose: SecretPurpose, owner: Option<&str>) -> Result<Vec<SecretState>> {
        let sql =
            format!("SELECT {SECRET} FROM secrets WHERE purpose = $1 AND ended_ms IS NULL ORDER BY id DESC");
        let mut secrets: Vec<SecretState> =
            sqlx::query_as(sqlx::AssertSqlSafe(sql)).bind(purpose.name()).fetch_all(&self.reader).await?;
        secrets.retain(|secret| owner.is_none_or(|owner| owner == secret.owner));
        Ok(secrets)
    }

    /// Ends a secret: signs out, revokes a token, locks out a device.
    ///
    /// # Errors
    /// [`Error::Invalid`] where there is none with this id, or it was ended before.
    pub async fn end_secret(&self, by: &By, id: &Id) -> Result<()> {
        let mut work = begin!(self, by, "end secret", id);
        let ended = sqlx::query("UPDATE secrets SET ended_ms = $2 WHERE id = $1 AND ended_ms IS NULL")
            .bind(id.as_str())
            .bind(by.at_ms)
            .execute(work.connection())
            .await?;
        if ended.rows_affected() == 0 {
            return Err(Error::invalid("id", id.as_str(), "a session, token or code that has not ended"));
        }
        work.note("secret", id.as_str()).await?;
        work.done(()).await
    }

    /// Adds an entry to the history that changes no record: a sign-in, a refusal, an export.
    ///
    /// # Errors
    /// [`Error::Invalid`] for words that cannot be kept.
    pub async fn note(&self, by: &By, deed: &str, subject: &str, id: &str) -> Result<()> {
        for (field, text) in [("deed", deed), ("subject", subject)] {
            plain_text(field, text, 1, 200)?;
        }
        plain_text("id", id, 0, 200)?;
        let mut work = begin!(self, by, deed, (subject, id));
        work.note(subject, id).await?;
        work.done(()).await
    }
}

async fn owner_is_left(work: &mut Work) -> Result<bool> {
    let rows: Vec<(Packed,)> = sqlx::query_as("SELECT body FROM records WHERE kind = $1 AND gone = 0")
        .bind(Kind::User.name())
        .fetch_all(work.connection())
        .await?;
    for (body,) in rows {
        let user: User = read_body(&body.text()?)?;
        if user.active && user.role == Role::Owner {
            return Ok(true);
        }
    }
    Ok(false)
}

async fn end_all(work: &mut Work, owner: &str) -> Result<()> {
    let at_ms = work.by.at_ms;
    sqlx::query(
        "UPDATE secrets SET ended_ms = $2 WHERE owner = $1 AND ended_ms IS NULL AND purpose IN ('session', 'token')",
    )
    .bind(owner)
    .bind(at_ms)
    .execute(work.connection())
    .await?;
    Ok(())
}

pub(crate) async fn secret_of(connection: &mut AnyConnection, digest: &str) -> Result<Option<SecretState>> {
    let sql = format!("SELECT {SECRET} FROM secrets WHERE digest = $1");
    Ok(sqlx::query_as(sqlx::AssertSqlSafe(sql)).bind(digest).fetch_optional(connection).await?)
}
