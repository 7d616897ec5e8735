using StageView.Live.Night;
using StageView.Live.Shown;
using StageView.Show.Notes;

namespace StageView.Live.Tests.Shown;

/// <summary>Notes and cameras that all devices share, in their file.</summary>
public sealed class NotesTableTests : IDisposable
{
    private readonly TempFolder _folder = new();
    private readonly SyntheticShow _show = new();

    public void Dispose() => _folder.Dispose();

    private string File => _folder["tour.notes.json"];

    private NotesTable Table() => new(File, new NightJournal(TimeProvider.System), TimeProvider.System);

    private static KeptCamera Camera(string name) => new(name, [0, -14, 3], [0, 3, 2.5f], 50, 7);

    [Fact]
    public void A_note_outlives_the_program_with_its_picture()
    {
        var before = Table();
        Assert.True(before.Drop(_show.State(), Camera("house"), [1, 2, 3]).Ok);
        var id = before.State.Notes[0].Id;
        Assert.True(before.Write(id, " colder ").Ok);
        var note = Table().State.Notes[0];
        Assert.Equal(("colder", "01:02:03:04", "network", id + ".jpg"), (note.Text, note.Timecode, note.Source, note.Picture));
        Assert.Equal([1, 2, 3], System.IO.File.ReadAllBytes(_folder["tour.notes/" + id + ".jpg"]));
        Assert.False(before.Write("nobody", "x").Ok);
    }

    [Fact]
    public void What_another_wrote_into_the_file_is_taken_and_what_broke_it_keeps_all_as_it_was()
    {
        var table = Table();
        table.KeepCamera(Camera("desk"));
        NotesFile.Write(File, new NotesKept([Camera("balcony"), Camera("desk")], []));
        table.Follow();
        Assert.Equal(["balcony", "desk"], table.State.Cameras.Select(c => c.Name));
        System.IO.File.WriteAllText(File, "{ broken");
        var refused = table.KeepCamera(Camera("pit"));
        Assert.False(refused.Ok);
        Assert.Contains("tour.notes.json:1", refused.Text, StringComparison.Ordinal);
        Assert.Equal("{ broken", System.IO.File.ReadAllText(File));
        Assert.Equal(2, table.State.Cameras.Count);
    }

    [Fact]
    public void A_camera_of_the_same_name_is_replaced_and_one_too_many_is_refused()
    {
        var table = Table();
        for (var i = 0; i < 40; i++)
        {
            Assert.True(table.KeepCamera(Camera("view " + i)).Ok);
        }

        Assert.Contains("40 views are saved", table.KeepCamera(Camera("one more")).Text, StringComparison.Ordinal);
        Assert.True(table.KeepCamera(Camera("view 3") with { Ev = 9 }).Ok);
        Assert.Equal(9, table.State.Cameras.Single(c => c.Name == "view 3").Ev);
        Assert.True(table.ForgetCamera("view 3").Ok);
        Assert.False(table.ForgetCamera("view 3").Ok);
        Assert.True(table.KeepCamera(Camera("one more")).Ok);
    }
}
