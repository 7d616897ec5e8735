using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Ground.Files;
using StageView.Show;
using StageView.Show.Notes;

namespace StageView.App.Verbs;

/// <summary><c>stageview notes RIG</c>: what was noted at the page, as a list to work through.</summary>
internal static class NotesVerb
{
    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var to = new Option<string?>("--out", "-o")
        {
            Description = "The list to write: .html (with the pictures in it), .md or .csv. Without it the notes are printed.", HelpName = "FILE",
        };
        var open = new Option<bool>("--open") { Description = "Only what is not done." };
        var json = Verb.JsonOption();
        var command = new Command("notes", "Lists what was noted while live, with timecode, camera and picture.") { rig, to, open, json };
        return command.Does(parse =>
        {
            var rigFile = parse.GetValue(rig)!;
            if (!File.Exists(rigFile))
            {
                throw StopException.Wrong($"{rigFile}: there is no such file");
            }

            var file = NotesFile.For(rigFile);
            var notes = NotesList.InOrder(NotesFile.Read(file).Notes.Where(n => !n.Done || !parse.GetValue(open)));
            var pictures = NotesFile.PicturesOf(file);
            var show = Path.GetFileName(file)[..^".notes.json".Length];
            if (parse.GetValue(to) is { } list)
            {
                WholeFile.WriteText(list, Path.GetExtension(list).ToLowerInvariant() switch
                {
                    ".html" or ".htm" => NotesList.Html(show, notes, pictures),
                    ".md" => NotesList.Markdown(show, notes, pictures, Path.GetDirectoryName(Path.GetFullPath(list))!),
                    ".csv" => NotesList.Csv(notes, pictures),
                    _ => throw StopException.Wrong($"--out {list}: a list of notes ends in .html, .md or .csv"),
                });
                Console.Error.WriteLine(list);
            }
            else if (parse.GetValue(json))
            {
                Answers.WriteJson(notes);
            }
            else if (notes.Count == 0)
            {
                Console.WriteLine($"{file}: no notes{(parse.GetValue(open) ? " to do" : " yet; drop one on the page of stageview live, key M")}");
            }
            else
            {
                Answers.Table(["done", "when", "note", "camera"],
                    notes.Select(n => (string[])[n.Done ? "yes" : "", NotesList.When(n), n.Text.Length > 0 ? n.Text : "(a mark)", NotesList.Camera(n.Camera)]));
            }

            return Exit.Fine;
        });
    }
}
