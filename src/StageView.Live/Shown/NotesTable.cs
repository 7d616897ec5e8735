using StageView.Live.Night;
using StageView.Live.RigFile;
using StageView.Live.Terms;
using StageView.Show;
using StageView.Show.Notes;

namespace StageView.Live.Shown;

/// <summary>Notes and cameras in their file beside the rig; what somebody else writes into it is read.</summary>
internal sealed class NotesTable : INotes
{
    private const int MostNotes = 1000;
    private const int MostCameras = 40;
    private readonly NightJournal _journal;
    private readonly TimeProvider _clock;
    private readonly FileWatch _watch = new();
    private readonly Lock _gate = new();
    private NotesKept _kept = NotesKept.Nothing;
    private string? _trouble;

    /// <param name="file">It comes with the first note or camera.</param>
    public NotesTable(string file, NightJournal journal, TimeProvider clock)
    {
        (File, _journal, _clock) = (file, journal, clock);
        _watch.Follow([file]);
        Read();
    }

    public string File { get; }

    public NotesState State
    {
        get
        {
            lock (_gate)
            {
                return new NotesState(Path.GetFileName(File), _trouble, _kept.Cameras, _kept.Notes);
            }
        }
    }

    /// <summary>Reads the file again where somebody else wrote it.</summary>
    public void Follow()
    {
        lock (_gate)
        {
            if (_watch.Changed().Count > 0)
            {
                Read();
            }
        }
    }

    public Reply Drop(ShowState shown, KeptCamera camera, byte[]? picture)
    {
        var id = Convert.ToHexStringLower(System.Security.Cryptography.RandomNumberGenerator.GetBytes(6));
        var note = new ShowNote
        {
            Id = id, At = _clock.GetLocalNow(), Source = shown.Source, SourceName = shown.Source == "network" ? "" : shown.SourceName,
            Seconds = Math.Round(shown.Seconds, 2), Timecode = shown.Timecode, Camera = camera, Picture = picture is null ? null : id + ".jpg",
        };
        var answer = Change(k => k.Notes.Count >= MostNotes ? $"{MostNotes} notes are kept, the most: remove what is done first" : null, k =>
        {
            if (picture is not null)
            {
                var folder = NotesFile.PicturesOf(File);
                Directory.CreateDirectory(folder);
                Ground.Files.WholeFile.Write(Path.Combine(folder, note.Picture!), picture);
            }

            return k with { Notes = [.. k.Notes, note] };
        });
        return answer.Ok ? answer with { Data = new { id, when = NotesList.When(note) } } : answer;
    }

    public Reply Write(string id, string text) => One(id, n => n with { Text = text.Trim() });

    public Reply Tick(string id, bool done) => One(id, n => n with { Done = done });

    public Reply Remove(string id) => Change(k => Missing(k, id), k =>
    {
        var gone = k.Notes.First(n => n.Id == id);
        if (gone.Picture is { } picture && picture == Path.GetFileName(picture))
        {
            System.IO.File.Delete(Path.Combine(NotesFile.PicturesOf(File), picture));
        }

        return k with { Notes = [.. k.Notes.Where(n => n != gone)] };
    });

    public Reply KeepCamera(KeptCamera camera)
    {
        var answer = Change(
            k => k.Cameras.Count >= MostCameras && k.Cameras.All(c => c.Name != camera.Name)
                ? $"{MostCameras} views are saved, the most that are kept: choose one and forget it first" : null,
            k => k with { Cameras = [.. k.Cameras.Where(c => c.Name != camera.Name), camera] });
        return answer.Ok ? Reply.Done($"{camera.Name} is saved, for all devices") : answer;
    }

    public Reply ForgetCamera(string name) => Change(
        k => k.Cameras.Any(c => c.Name == name) ? null : $"no view is called {OneLine.Of(name)}",
        k => k with { Cameras = [.. k.Cameras.Where(c => c.Name != name)] });

    private Reply One(string id, Func<ShowNote, ShowNote> change) =>
        Change(k => Missing(k, id), k => k with { Notes = [.. k.Notes.Select(n => n.Id == id ? change(n) : n)] });

    private static string? Missing(NotesKept kept, string id) => kept.Notes.Any(n => n.Id == id) ? null : "that note is gone; somebody removed it";

    /// <summary>Changes what is kept and writes it; where that can't be done, all stays as it was.</summary>
    /// <param name="refuse">Why not, or null.</param>
    private Reply Change(Func<NotesKept, string?> refuse, Func<NotesKept, NotesKept> change)
    {
        lock (_gate)
        {
            if (_watch.Changed().Count > 0)
            {
                Read();
            }

            if ((_trouble ?? refuse(_kept)) is { } why)
            {
                return Reply.Refuse(why);
            }

            try
            {
                var kept = change(_kept);
                NotesFile.Write(File, kept);
                _kept = kept;
            }
            catch (Exception e) when (e is IOException or UnauthorizedAccessException)
            {
                return Reply.Refuse($"{File} can't be written: {e.Message}");
            }

            _watch.Changed();
            return Reply.Done("");
        }
    }

    private void Read()
    {
        try
        {
            (_kept, _trouble) = (NotesFile.Read(File), null);
        }
        catch (StopException e)
        {
            _trouble = e.Message;
            _journal.Say("notes", OneLine.Of(e.Message));
        }
    }
}
