# The top level is what it is, and nothing more.
expected='.ci .clang-format .clang-tidy .editorconfig .gitignore DEVELOPERS.md LICENSE Makefile README.md'
expected="$expected docs examples hazards src templates tests"
got=$(git ls-files | cut -d/ -f1 | sort -u | tr '\n' ' ')
[ "$got" = "$expected " ] && exit 0
echo "expected: $expected"
echo "tracked:  $got"
exit 1
