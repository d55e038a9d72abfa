# Objects of pure layers must not need files, clock, environment, locale, printing or exit. Symbols are
# looked at, not the text: compilers turn one function into another.
forbidden='open|open64|openat|fopen|fopen64|fdopen|freopen|fread|fwrite|fgets|fgetc|getc|fclose|fflush'
forbidden="$forbidden|read|write|close|stat|lstat|fstat|opendir|readdir|realpath|rename|unlink|mkdir"
forbidden="$forbidden|printf|vprintf|fprintf|vfprintf|puts|fputs|putchar|fputc|putc|perror|dprintf"
forbidden="$forbidden|stdin|stdout|stderr|time|clock|clock_gettime|gettimeofday|localtime|localtime_r"
forbidden="$forbidden|gmtime|mktime|strftime|getenv|secure_getenv|setenv|putenv|setlocale|newlocale"
forbidden="$forbidden|localeconv|nl_langinfo|rand|random|srand|getrandom|exit|_exit|abort|system"
forbidden="$forbidden|strtod|strtof|atof|strcoll|toupper|tolower|__ctype_b_loc|__ctype_tolower_loc"
pure=$(sed -n 's/^pure: //p' tests/layers.txt)
exempt=$(sed -n 's/^exempt: //p' tests/layers.txt)
for layer in $pure; do
	find "$BUILD/src/$layer" -name '*.o' 2>/dev/null
done | sort | while read -r object; do
	source=${object#"$BUILD"/}
	[ -f "${source%.o}.c" ] || continue
	for e in $exempt; do
		case $source in "src/$e"*) continue 2 ;; esac
	done
	nm -u "$object" | awk '{ print $2 }' |
		sed 's/@.*//; s/^__\(.*\)_chk$/\1/; s/^__isoc99_//' |
		grep -xE "$forbidden" | sed "s|^|${source%.o}.c needs |"
done | grep . && exit 1
exit 0
