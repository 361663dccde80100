# A guide of one's own in a folder: whatever is missing or cannot be read stops
# it by name; no sheet is dropped in silence.
. tests/cli/common.sh "$1" "$2"

folder="$scratch/guide"
fresh() {
    rm -rf "$folder"
    mkdir "$folder"
    cp "$source_dir/guide/features.yaml" "$folder"
    cp -r "$source_dir/guide/sheets" "$folder"
}
try() { "$pannage" check death_cap --guide "$folder" --observe form=gilled; }
refused() { # CODE WORDS...: a check over the folder does not even begin
    expect "$1" try
    says "${@:2}"
    [ ! -s "$scratch/out" ] || fail "it went on: $(head -c 300 "$scratch/out")"
}

fresh
expect 1 try
prints "this is no kind to gather"

rm "$folder/features.yaml"
refused 3 "features.yaml"
: > "$folder/features.yaml"
refused 3 "features.yaml:1: an empty file"
fresh
rm "$folder/sheets/death_cap.yaml"
refused 3 "there is no sheet of 'death_cap'"
: > "$folder/sheets/death_cap.yaml"
refused 3 "death_cap.yaml:1: an empty file"
head -c 700 "$source_dir/guide/sheets/death_cap.yaml" \
    > "$folder/sheets/death_cap.yaml"
refused 3 "death_cap.yaml"
rm "$folder/sheets/death_cap.yaml"
mkdir "$folder/sheets/death_cap.yaml"
refused 4 "death_cap.yaml"
rmdir "$folder/sheets/death_cap.yaml"
ln -s nowhere "$folder/sheets/death_cap.yaml"
refused 3 "death_cap.yaml"
fresh
if [ "$(id -u)" -ne 0 ]; then
    chmod 000 "$folder/sheets/death_cap.yaml"
    refused 4 "death_cap.yaml"
    chmod 600 "$folder/sheets/death_cap.yaml"
fi
# under another ending it is no sheet, and its kind is missed
mv "$folder/sheets/death_cap.yaml" "$folder/sheets/death_cap.yml"
refused 3 "death_cap"
fresh
rm -r "$folder/sheets"
refused 3 "sheets"
mkdir "$folder/sheets"
refused 3 "there is no sheet of"
fresh
sed -i 's/\bdeath_cap, //' "$folder/features.yaml"
refused 3 "death_cap is deadly; add it to 'required'"
# line ends of another system are none of these
fresh
sed -i 's/$/\r/' "$folder/sheets/death_cap.yaml"
expect 1 try
