# groff ends well whatever it warns of, so its messages are looked at.
for page in docs/*.[1-9]; do
	[ -f "$page" ] || continue
	groff -man -Tutf8 -ww -z "$page" 2>&1
done | grep . && exit 1
exit 0
