using StageView.Show.Notes;
using StageView.Show.Sources;

namespace StageView.Show.Tests.Notes;

/// <summary>Notes in their file and as lists; changes found for a scrubber.</summary>
public sealed class NotesListTests
{
    private static readonly KeptCamera s_house = new("house", [0, -14.5f, 1.4f], [0, 5, 3.6f], 42, 5);

    private static ShowNote Note(string text, double seconds, string source = "capture") => new()
    {
        Id = "a" + seconds, At = new DateTimeOffset(2026, 11, 30, 21, 5, 0, TimeSpan.Zero), Source = source,
        SourceName = source == "network" ? "" : "show.pcapng",
        Seconds = seconds, Timecode = "01:00:31:12", Camera = s_house, Text = text, Picture = "a.jpg",
    };

    [Fact]
    public void What_is_kept_is_read_as_it_was_written_and_what_is_no_list_is_named_by_its_line()
    {
        using var folder = new TempFolder();
        var file = NotesFile.For(folder["tour.rig.jsonc"]);
        Assert.Equal(folder["tour.notes.json"], file);
        Assert.Empty(NotesFile.Read(file).Notes);
        NotesFile.Write(file, new NotesKept([s_house], [Note("cut the haze", 31.5)]));
        var kept = NotesFile.Read(file);
        Assert.Equal("cut the haze", kept.Notes[0].Text);
        Assert.Equal([0, -14.5f, 1.4f], kept.Cameras[0].Position);
        File.WriteAllText(file, "{\n \"cameras\": [],\n \"notes\": [{ \"id\": 3 }]\n}");
        Assert.StartsWith($"{file}:3: $.notes[0].id: ", Assert.Throws<StopException>(() => NotesFile.Read(file)).Message, StringComparison.Ordinal);
        File.WriteAllText(file, """{ "cameras": [{ "name": "x", "position": [1], "target": [0, 0, 0], "fov": 40, "ev": 5 }], "notes": [] }""");
        Assert.Throws<StopException>(() => NotesFile.Read(file));
    }

    // RFC 4180: fields with line breaks, quotes and commas stand in quotes, quotes are doubled.
    [Fact]
    public void A_table_of_notes_keeps_to_the_standard_and_holds_no_formula()
    {
        using var folder = new TempFolder();
        var rows = NotesList.Csv([Note("say \"dim\", then\nout", 31.5), Note("=1+1", 2)], folder.Path).Split("\r\n");
        Assert.Equal("no,01:00:31:12,2,show.pcapng, =1+1,\"house: from 0, -14.5, 1.4 to 0, 5, 3.6, 42°, EV 5\",2026-11-30 21:05:00,", rows[1]);
        Assert.StartsWith("no,01:00:31:12,31.5,show.pcapng,\"say \"\"dim\"\", then\nout\",", rows[2], StringComparison.Ordinal);
        Assert.Equal(("", 4), (rows[^1], rows.Length));
    }

    [Fact]
    public void Lists_are_in_order_of_show_time_and_take_no_words_for_markup()
    {
        using var folder = new TempFolder();
        folder.File("a.jpg", "jpeg");
        ShowNote[] notes = [Note("later <i>", 40), Note("*first*", 1), Note("heard", 3, "network")];
        var page = NotesList.Html("A & B", notes, folder.Path);
        Assert.Contains("<h1>Notes: A &amp; B</h1>", page, StringComparison.Ordinal);
        Assert.True(page.IndexOf("*first*", StringComparison.Ordinal) < page.IndexOf("later &lt;i&gt;", StringComparison.Ordinal));
        Assert.Contains($"data:image/jpeg;base64,{Convert.ToBase64String("jpeg"u8)}", page, StringComparison.Ordinal);
        Assert.Contains("01:00:31:12 (2026-11-30 21:05:00)", page, StringComparison.Ordinal);
        var text = NotesList.Markdown("A", notes, folder.Path, folder.Path);
        Assert.Contains("- [ ] **01:00:31:12 (0:01.0 of show.pcapng)** \\*first\\*", text, StringComparison.Ordinal);
        Assert.Contains("![what was seen](<a.jpg>)", text, StringComparison.Ordinal);

        // A name that leads elsewhere is no picture of ours.
        Assert.DoesNotContain("base64", NotesList.Html("A", [Note("x", 1) with { Picture = "../a.jpg" }], folder["sub"]), StringComparison.Ordinal);
    }

    [Fact]
    public void Changes_are_found_where_the_written_show_has_its_cues()
    {
        var capture = Repo.File("scenes", "foundry", "foundry.pcapng");
        var found = FoundMarks.In(Rigs.RigFiles.Open(Repo.File("scenes", "foundry", "foundry.rig.jsonc")), capture, TestContext.Current.CancellationToken);
        var cues = CueTimes.Cues(capture).Where(c => c.Time > TimeSpan.Zero).ToList();
        var missed = cues.Where(c => !found.Any(f => Math.Abs(f.Seconds - c.Time.TotalSeconds) <= .15)).Select(c => c.Name).ToList();
        Assert.True(missed.Count * 5 <= cues.Count, $"of {cues.Count} cues these are not found: {string.Join(", ", missed)}");
        Assert.All(found.Zip(found.Skip(1)), p => Assert.True(p.First.Seconds <= p.Second.Seconds));
    }
}
