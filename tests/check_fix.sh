#!/bin/sh
# `check --fix`: a garden as a spreadsheet leaves it is copied clean; the copy reads without a word on
# how it was read and gives the same answer; nothing else is touched.
. "$(dirname "$0")/checks.sh"
LC_ALL=C
messy=$root/tests/messy

# Everything that a cleaned copy can mend, in one garden.
mkdir garden garden/tables
printf 'sep=;\r\nsetting;value\r\nunits;metric\r\nseason;2025\r\nseason_start;1.5.2025\r\nseason_end;2025-09-30\r\nas_of;15.6.2025\r\n' >garden/garden.csv
cp "$messy/24_beds_merged_groups.csv" garden/beds.csv
printf 'bed,Vegetable,number of plants,date planted,yield_lb\r\n' >garden/plantings.csv
printf 'bed,Vegetable,number of plants,date planted,my_mood\n\nN1,sweet corn,~24,5/10/2025,"so, so"\n,pole bean,24,45809,\nN2,kale,"1,0",2025-04-20 00:00:00,\n,beet,40,?,\nbed,Vegetable,number of plants,date planted,my_mood\nTotal,,89,,\n' |
    sed 's/"1,0"/10/; s/5\/10\/2025/10.5.2025/' >garden/plantings.csv
sed 's/A1/N1/; s/A2/N2/; s/<3/-0.2/; s/14,2.2/"14,5",2.2/; s/3\/14\/2025/14.3.2025/' "$messy/29_soil_lab_units_row.csv" >garden/soil_tests.csv
printf 'item;quantity;unit;N %%;unit cost\r\nblood meal;1.200,5;g;12,5;0,01 \200\r\nfeather meal;\275;lb;~12;2,50\r\n' >garden/materials.csv
printf 'date\tbeds\tmaterial\tamount\n1.5.2025\tN1\tblood meal\t100 g\n' | iconv -f UTF-8 -t UTF-16 >garden/applications.csv
printf 'a,b\n1,2\n' >garden/my-own.csv
printf 'key,quantity,likely,unit,source,seen,scope\nkale,days,70,d,local,practice,garden\n' >garden/tables/crops.csv
printf 'a letter\n' >garden/README.txt
find garden -type f -exec cksum {} + | sort >before

"$BEDTALLY" check garden --fix clean >out 2>err
[ $? -eq 0 ]
verdict $? "the garden has no error: $(grep error err)"
grep -qF 'A cleaned copy is in clean; its CHANGES.txt lists' out
verdict $? "the end of the page names the copy"
find garden -type f -exec cksum {} + | sort >after
cmp -s before after
verdict $? "the garden is as it was"
for f in garden beds plantings soil_tests materials applications; do
    [ -s "clean/$f.csv" ]
    verdict $? "clean/$f.csv is there"
    iconv -f UTF-8 -t UTF-8 "clean/$f.csv" >/dev/null 2>&1
    verdict $? "clean/$f.csv is UTF-8"
    grep -q "$(printf '\r')" "clean/$f.csv"
    [ $? -eq 1 ]
    verdict $? "clean/$f.csv has plain line ends"
    cut -d: -f1 clean/CHANGES.txt | grep -qx "$f.csv"
    verdict $? "CHANGES.txt speaks of $f.csv"
done
cmp -s garden/my-own.csv clean/my-own.csv && cmp -s garden/tables/crops.csv clean/tables/crops.csv
verdict $? "other tables are copied as they are"
[ ! -e clean/README.txt ]
verdict $? "nothing but tables is copied"
[ "$(find clean -type f | wc -l)" -eq 9 ]
verdict $? "no other file was made"

# The copy reads without a word on form. What is left is about the garden, not about its spelling.
"$BEDTALLY" check clean >out2 2>err2
verdict $? "the copy has no error"
! grep -E 'read (as|with)|not read:|taken from (the line|this|column)|taken as|the same as|passed over|comma|spreadsheet|dates are read' err2 |
    grep -v 'my-own'
verdict $? "the copy has no note on form: $(head -3 err2)"
"$BEDTALLY" budget garden --format json --samples 1024 >one 2>/dev/null
"$BEDTALLY" budget clean --format json --samples 1024 >two 2>/dev/null
sed 's/clean/garden/g; s/"[^"]*csv:[0-9:]*[^"]*"//g' two >two-plain
sed 's/"[^"]*csv:[0-9:]*[^"]*"//g' one >one-plain
jq -S '[.beds[] | {bed, N}]' one >one-beds && jq -S '[.beds[] | {bed, N}]' two >two-beds && cmp -s one-beds two-beds
verdict $? "the copy has the same answer"
"$BEDTALLY" check clean --fix again >/dev/null 2>&1
for f in garden beds plantings soil_tests materials applications; do
    cmp -s "clean/$f.csv" "again/$f.csv"
    verdict $? "cleaning $f.csv again changes nothing"
done
grep -qx 'There is none.' again/CHANGES.txt
verdict $? "and CHANGES.txt says so"

# Refusals.
"$BEDTALLY" check garden --fix clean >out 2>err
[ $? -eq 2 ] && grep -qF 'error: --fix: expected a folder that is not there yet, found "clean"' err
verdict $? "a folder that is there is refused"
"$BEDTALLY" check garden --fix none/below >out 2>err
[ $? -eq 2 ] && grep -qF 'error: --fix: expected a folder in a folder that is there, found "none/below"' err
verdict $? "a folder that cannot be made is said"
"$BEDTALLY" check nowhere --fix made >out 2>err
[ $? -ne 0 ] && [ ! -e made ]
verdict $? "nothing is made of no garden"

# What cannot be mended is left as it is, listed, and no line is lost.
printf 'bed,length,width\nA1,8 ft,4 ft\n"Old" one,8 ft,4 ft\nA2,=2*4,4 ft\n' >garden/beds.csv
printf 'bed,crop,plants\nA1,"bean, pole",4\n' >garden/plantings.csv
rm garden/soil_tests.csv garden/applications.csv garden/materials.csv
"$BEDTALLY" check garden --fix broken >out 2>err
[ $? -eq 1 ]
verdict $? "problems stay problems"
grep -qF 'beds.csv:3: not in the copy, for its double quotes do not match: "Old" one,8 ft,4 ft' broken/CHANGES.txt
verdict $? "a line that could not be read is in the list"
grep -qF 'A2,=2*4,4 ft' broken/beds.csv
verdict $? "a cell that could not be read is as it was"
grep -qF 'A1,pole bean,4' broken/plantings.csv
verdict $? "a name that stood last word first is turned round"
grep -qF 'beds.csv:4:4: error: length:' broken/CHANGES.txt
verdict $? "and its error is in the list"

# What nobody reads is in the list too.
"$BEDTALLY" new unread >/dev/null
printf 'sample,date,beds,Nitrate\nS1,2026-04-20,A1,20\n' >unread/soil_tests.csv
mv unread/water.csv unread/water.csv.txt
"$BEDTALLY" check unread --fix unread-clean >out 2>err
has unread-clean/CHANGES.txt 'soil_tests.csv:1:18: Nitrate: it is not read; did you mean nitrate_n' "a column"
has unread-clean/CHANGES.txt 'water.csv.txt: it is not read' "a file"

totals
