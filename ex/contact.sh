#!/bin/bash
# contact.sh OUT PNG...: side by side with chromium
o=$1; shift
echo '<body style="margin:0;background:#777;white-space:nowrap">' > c.html
for f in "$@"; do echo "<img src=$f style='margin:4px;vertical-align:top'>" >> c.html; done
chromium --headless --no-sandbox --disable-gpu --hide-scrollbars --allow-file-access-from-files --window-size=${W:-2050},${H:-720} --screenshot=$o c.html >/dev/null 2>&1
