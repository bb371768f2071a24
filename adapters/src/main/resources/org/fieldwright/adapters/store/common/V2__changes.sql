-- Every write to a magnet counts this up, so that whoever has a copy sees whether it is old without reading it all.
alter table magnet add column changes ${whole} not null default 0;
