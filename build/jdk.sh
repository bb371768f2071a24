# Sourced by ./fieldwright and ./check: finds a Java development kit, version 17 or later.

# Sets major to the version of the JDK in folder $1, or 0. Read from its release file: asking java costs 50 ms.
jdk_major() {
  local key value
  major=0
  [ -x "$1/bin/java" ] && [ -x "$1/bin/javac" ] && [ -r "$1/release" ] || return 0
  while IFS='=' read -r key value; do
    if [ "$key" = JAVA_VERSION ]; then
      value=${value//\"/}
      major=${value%%[!0-9]*}
    fi
  done <"$1/release"
}

# Sets and exports JAVA_HOME: what it names already, else the java on PATH, else 17 before any later one.
find_jdk() {
  local java candidate major
  java=$(command -v java || true)
  [ -z "$java" ] || java=$(readlink -f "$java")
  for candidate in "${JAVA_HOME:-}" "${java%/bin/java}" /usr/lib/jvm/*17* /usr/lib/jvm/* /opt/*jdk*; do
    [ -n "$candidate" ] || continue
    jdk_major "$candidate"
    if [ "$major" -ge 17 ]; then
      export JAVA_HOME=$candidate
      return 0
    fi
  done
  return 1
}
