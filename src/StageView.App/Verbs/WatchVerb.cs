using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.App.Watching;
using StageView.Ground.Files;
using StageView.Show.Questions;
using StageView.Show.Recordings;
using StageView.Show.Rigs;

namespace StageView.App.Verbs;

/// <summary><c>stageview watch RIG</c>: what is heard on the network, and what is wrong with it.</summary>
internal static class WatchVerb
{
    private static readonly TimeSpan s_look = TimeSpan.FromMilliseconds(500);

    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var venue = Verb.VenueOption();
        var address = new Option<string[]>("--address")
        {
            Description = "A local address to listen on beside loopback and those of the rig file; may be given several times.", HelpName = "ADDRESS",
        };
        var length = new Option<string?>("--for")
        {
            Description = "Watch for so long (10s, 5m, 2h), then print a summary; the exit code is 1 when a finding stands. Without it: until Ctrl+C.",
            HelpName = "TIME",
        };
        var stray = new Option<bool>("--stray")
        {
            Description = "Join universes, too, that senders say they send and nothing is patched to (universe discovery), to see who sends there.",
        };
        var capture = new Option<string?>("--capture")
        {
            Description = "Look through a recording instead of listening: what was wrong, and when. The exit code is 1 when a fault stood at any time.",
            HelpName = "FILE",
        };
        var report = new Option<string?>("--report") { Description = "With --capture: write all of it as a page for a browser, too.", HelpName = "FILE" };
        var freewheel = Verb.FreewheelOption();
        var json = new Option<bool>("--json") { Description = "Print one JSON line a look, the last of type \"summary\"." };
        var command = new Command("watch",
            "Listens to the network and shows, for each universe and source, what arrives and what is wrong with it.")
        {
            rig, venue, address, stray, length, capture, report, freewheel, json,
        };
        command.Validators.Add(found =>
        {
            if (found.GetValue(capture) is null ? found.GetValue(report) is not null : found.GetValue(length) is not null
                || found.GetValue(address) is { Length: > 0 } || found.GetValue(stray))
            {
                found.AddError(found.GetValue(capture) is null ? "--report tells of a recording: it needs --capture"
                    : "--capture listens to nothing: leave out --for, --address and --stray");
            }
        });
        return command.Does((parse, stop) => parse.GetValue(capture) is { } file
            ? Through(parse.GetValue(rig)!, parse.GetValue(venue), file, parse.GetValue(report), Verb.Freewheel(parse.GetValue(freewheel)),
                parse.GetValue(json), stop)
            : Run(parse.GetValue(rig)!, parse.GetValue(venue), parse.GetValue(address) ?? [], parse.GetValue(stray), parse.GetValue(length),
            Verb.Freewheel(parse.GetValue(freewheel)), parse.GetValue(json), stop));
    }

    private static Task<int> Through(string path, string? venue, string file, string? report, double freewheel, bool asJson, CancellationToken stop)
    {
        var answer = new RecordingWatch(RigFiles.Open(path, venue, tell: Tell.Note), file, TimeSpan.FromSeconds(freewheel)).Ask(stop);
        foreach (var problem in answer.Problems)
        {
            Tell.Note(problem);
        }

        if (report is not null)
        {
            WholeFile.WriteText(report, RecordingPage.Write(answer));
        }

        if (asJson)
        {
            Answers.WriteJson(answer);
        }
        else
        {
            RecordingPrint.Print(answer);
        }

        return Task.FromResult(answer.Problems.Count > 0 ? Exit.WrongQuestion : answer.AnyFault ? Exit.No
            : answer.End.SaysNothing is not null ? Exit.WrongQuestion : Exit.Fine);
    }

    private static async Task<int> Run(string path, string? venue, string[] addresses, bool offered, string? length, double freewheel, bool asJson,
        CancellationToken stop)
    {
        var rig = RigFiles.Open(path, venue, tell: Tell.Note);
        using var end = CancellationTokenSource.CreateLinkedTokenSource(stop);
        var time = length is null ? (TimeSpan?)null : Durations.Read("--for", length);
        using var watch = new NetworkWatch(rig, addresses, offered, TimeSpan.FromSeconds(freewheel));
        if (time is { } asked)
        {
            end.CancelAfter(asked);
        }

        foreach (var note in watch.Notes)
        {
            Tell.Note(note);
        }

        var screen = !asJson && !Console.IsOutputRedirected;
        using var clock = new PeriodicTimer(s_look);
        try
        {
            while (await clock.WaitForNextTickAsync(end.Token).ConfigureAwait(false))
            {
                var now = watch.Look();
                if (asJson)
                {
                    WatchPrint.JsonLine("look", now);
                }
                else if (screen)
                {
                    WatchPrint.Screen(now);
                }
            }
        }
        catch (OperationCanceledException)
        {
            // The time is over, or Ctrl+C: the summary follows.
        }

        var last = watch.Look();
        if (asJson)
        {
            WatchPrint.JsonLine("summary", last);
        }
        else
        {
            WatchPrint.Summary(last);
        }

        return last.Findings.Any(f => f.Stands) ? Exit.No : last.SaysNothing is not null ? Exit.WrongQuestion : Exit.Fine;
    }
}
