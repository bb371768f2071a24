-- Who may use a store that a team shares. They belong to the store and to no magnet, so no folder of plain files
-- holds them. A password is kept as what was derived from it, the token of a sign-in as its SHA-256.

create table account (
  name     text not null primary key,
  person   text not null,
  role     text not null,
  password text not null,
  revision ${whole} not null
) ${strict};

create table sign_in (
  token   text not null primary key,
  account text not null references account,
  ends    ${whole} not null -- seconds since 1970
) ${strict};

create index sign_in_by_account on sign_in (account);
