-- Three words differ between the engines: ${whole} is a 64-bit whole number, ${bytes} a content,
-- ${strict} makes SQLite hold columns to their type. Times and days are ISO 8601 text.

create table magnet (
  id       text not null primary key,
  title    text not null,
  revision ${whole} not null
) ${strict};

create table visit (
  magnet   text not null references magnet,
  id       text not null,
  day      text not null,
  note     text not null,
  revision ${whole} not null,
  primary key (magnet, id)
) ${strict};

-- Each content once, under whatever names. One that a result was computed from stays when its file gets another.
create table content (
  sha256 text not null primary key,
  bytes  ${bytes} not null
) ${strict};

create table document (
  magnet   text not null references magnet,
  path     text not null,
  kind     text not null,
  visit    text,
  sha256   text not null references content,
  saved    text not null,
  revision ${whole} not null,
  primary key (magnet, path),
  foreign key (magnet, visit) references visit
) ${strict};

create index document_by_content on document (sha256);

create table round (
  magnet        text not null,
  visit         text not null,
  number        ${whole} not null,
  before_survey text,
  plan          text,
  loaded        text,
  after_survey  text,
  note          text not null,
  revision      ${whole} not null,
  primary key (magnet, visit, number),
  foreign key (magnet, visit) references visit,
  foreign key (magnet, before_survey) references document,
  foreign key (magnet, plan) references document,
  foreign key (magnet, loaded) references document,
  foreign key (magnet, after_survey) references document
) ${strict};

create table result (
  magnet          text not null references magnet,
  id              text not null,
  visit           text,
  service         text not null,
  program_version text not null,
  options         text not null,
  seed            ${whole},
  iterations      ${whole},
  computed        text not null,
  answer          text not null references content,
  primary key (magnet, id),
  foreign key (magnet, visit) references visit
) ${strict};

create table result_input (
  magnet   text not null,
  result   text not null,
  position ${whole} not null,
  path     text not null,
  sha256   text not null references content,
  primary key (magnet, result, position),
  foreign key (magnet, result) references result
) ${strict};

create index result_input_by_content on result_input (sha256);

create table column_mapping (
  magnet   text not null references magnet,
  header   text not null,
  mapping  text not null,
  revision ${whole} not null,
  primary key (magnet, header)
) ${strict};
