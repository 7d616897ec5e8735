using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.App.Watching;
using StageView.Ground.Words;
using StageView.Show;
using StageView.Show.Exchange;
using StageView.Wire.Exchange;

namespace StageView.App.Verbs;

/// <summary><c>stageview exchange RIG --group NAME</c>: a rig in a group that exchanges MVR files.</summary>
internal static class ExchangeVerb
{
    private static readonly TimeSpan s_lookEvery = TimeSpan.FromMilliseconds(200);

    private sealed record Asked(string? Look, string? Take, bool Yes, bool Follow, string? Commit, TimeSpan Wait, TimeSpan? Length, bool Json);

    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var venue = Verb.VenueOption();
        var group = new Option<string>("--group") { Description = "Name of the group to join.", HelpName = "NAME", Required = true };
        var address = new Option<string>("--address")
        {
            Description = "The IPv4 address that this machine has on the group's network. Without it: this machine alone.",
            HelpName = "ADDRESS",
            DefaultValueFactory = _ => "127.0.0.1",
        };
        var station = new Option<string?>("--station") { Description = "The name that others show. Without it: the rig's.", HelpName = "NAME" };
        var drawing = new Option<string?>("--drawing")
        {
            Description = $"The rig file that takes what is taken; the rig includes it. Without it: {Drawing.Usual}, from the rig file.", HelpName = "FILE",
        };
        var look = new Option<string?>("--look")
        {
            Description = "Fetch a commit, by the first characters of its identity or as last, and print what it would change. Nothing is taken.",
            HelpName = "COMMIT",
        };
        var take = new Option<string?>("--take") { Description = "The same, then take it, after asking.", HelpName = "COMMIT" };
        var yes = new Option<bool>("--yes") { Description = "Take it without asking." };
        var follow = new Option<bool>("--follow") { Description = "Take each commit as it comes, until Ctrl+C or as long as --for says." };
        var commit = new Option<string?>("--commit")
        {
            Description = "Commit the rig, with these words, and stay to hand it out until Ctrl+C or as long as --for says.", HelpName = "WORDS",
        };
        var wait = new Option<string>("--wait")
        {
            Description = "How long to wait for stations and commits.", HelpName = "TIME", DefaultValueFactory = _ => "5s",
        };
        var length = new Option<string?>("--for") { Description = "How long to stay (10s, 5m, 2h).", HelpName = "TIME" };
        var namesPort = new Option<int>("--names-port")
        {
            Description = "UDP port of multicast DNS, where it isn't the standard's.",
            HelpName = "NUMBER",
            DefaultValueFactory = _ => Wire.Names.MulticastNames.StandardPort,
        };
        var json = Verb.JsonOption();
        var command = new Command("exchange",
            "Joins a group that exchanges MVR files on the local network (MVR-xchange, DIN SPEC 15801): lists what others commit, shows what a commit changes, "
            + "takes it when told to, commits the rig.")
        {
            rig, venue, group, address, station, drawing, look, take, yes, follow, commit, wait, length, namesPort, json,
        };
        return command.Does((parse, stop) =>
        {
            Verb.CheckPort(parse.GetValue(namesPort), namesPort.Name, 1);
            var asked = new Asked(
                parse.GetValue(look), parse.GetValue(take), parse.GetValue(yes), parse.GetValue(follow), parse.GetValue(commit),
                Durations.Read("--wait", parse.GetValue(wait)!), parse.GetValue(length) is { } l ? Durations.Read("--for", l) : null, parse.GetValue(json));
            if (new[] { asked.Look is not null, asked.Take is not null, asked.Follow || asked.Commit is not null }.Count(a => a) > 1)
            {
                throw StopException.Wrong("--look, --take and --follow or --commit are asked one at a time");
            }

            return Run(
                new ExchangeRequest
                {
                    RigFile = parse.GetValue(rig)!, Venue = parse.GetValue(venue), Group = parse.GetValue(group)!, Address = parse.GetValue(address)!,
                    StationName = parse.GetValue(station), Drawing = parse.GetValue(drawing), Follow = asked.Follow, Role = "exchange",
                    NamesPort = parse.GetValue(namesPort),
                }, asked, stop);
        });
    }

    private static async Task<int> Run(ExchangeRequest request, Asked asked, CancellationToken stop)
    {
        foreach (var line in ExchangeDesk.WhatIsSent(request.Group, request.Address))
        {
            Tell.Note(line);
        }

        await using var desk = await ExchangeDesk.Join(request, TimeProvider.System, stop).ConfigureAwait(false);
        desk.Noted += Tell.Note;
        desk.Followed += (commit, look) =>
        {
            if (asked.Json)
            {
                Answers.WriteJson(new { taken = CommitAnswer(commit), changes = look.Changes, look.Notes });
            }
            else
            {
                Print(commit, look);
            }
        };
        if (asked.Follow || asked.Commit is not null)
        {
            return await Stay(desk, asked, stop).ConfigureAwait(false);
        }

        if ((asked.Look ?? asked.Take) is not { } named)
        {
            await Wait(asked.Wait, () => false, stop).ConfigureAwait(false);
            List(desk, asked.Json);
            return Exit.Fine;
        }

        CommitSeen? found = null;
        await Wait(asked.Wait, () => named != "last" && (found = desk.Find(named)) is not null, stop).ConfigureAwait(false);
        if ((found ?? desk.Find(named)) is not { } commit)
        {
            List(desk, json: false);
            throw new StopException(StopKind.No,
                named == "last" ? "nobody in the group has committed anything" : $"no commit, or more than one, begins with {named}");
        }

        var look = await desk.Look(commit, stop).ConfigureAwait(false);
        var taken = false;
        if (!asked.Json)
        {
            Print(commit, look);
        }

        if (asked.Take is not null && look.Refused.Count == 0 && (asked.Yes || await Agreed(stop).ConfigureAwait(false)))
        {
            await desk.Take(commit, stop).ConfigureAwait(false);
            taken = true;
        }

        if (asked.Json)
        {
            Answers.WriteJson(new { commit = CommitAnswer(commit), look.Changes, look.Refused, look.Notes, taken });
        }
        else if (asked.Take is not null)
        {
            Console.WriteLine(taken ? "taken" : "nothing was taken");
        }

        return look.Refused.Count > 0 || (asked.Take is not null && !taken) ? Exit.No : Exit.Fine;
    }

    private static async Task<int> Stay(ExchangeDesk desk, Asked asked, CancellationToken stop)
    {
        if (asked.Commit is { } words)
        {
            // Those who are there are told at once, those who come later when they join.
            await Wait(asked.Wait, () => desk.Stations.Any(s => s.Provider.Length > 0), stop).ConfigureAwait(false);
            var (line, notes) = await desk.Commit(words, stop).ConfigureAwait(false);
            foreach (var n in notes)
            {
                Console.WriteLine("not in the file: " + n);
            }

            Console.WriteLine($"committed {line.File.ToString()[..8]}, {Counted.Of(line.Bytes, "byte")}; there for who asks until this ends");
        }

        if (asked.Length is { } length)
        {
            await Wait(length, () => false, stop).ConfigureAwait(false);
        }
        else
        {
            Tell.Note("end with Ctrl+C");
            await Wait(Timeout.InfiniteTimeSpan, () => false, stop).ConfigureAwait(false);
        }

        return Exit.Fine;
    }

    private static void List(ExchangeDesk desk, bool json)
    {
        if (json)
        {
            Answers.WriteJson(new
            {
                desk.Group,
                stations = desk.Stations.Select(s => new { s.Station, s.Name, s.Provider, address = s.Address.ToString(), s.Port, s.Trouble }),
                commits = desk.Commits.Select(CommitAnswer),
            });
            return;
        }

        if (desk.Stations.Count == 0)
        {
            Console.WriteLine($"nobody else is in the group \"{desk.Group}\"");
            return;
        }

        Answers.Table(["station", "program", "address", ""],
            desk.Stations.Select(s => new[] { s.Name, s.Provider, $"{s.Address}:{s.Port}", s.Trouble }));
        if (desk.Commits.Count == 0)
        {
            Console.WriteLine("nothing is committed");
            return;
        }

        Answers.Table(["commit", "of", "bytes", "words"],
            desk.Commits.Select(c => new[] { ExchangeDesk.ShortName(c), c.StationName, $"{c.Line.Bytes}", c.Line.Comment }));
    }

    private static void Print(CommitSeen commit, DrawingLook look)
    {
        Console.WriteLine($"{ExchangeDesk.ShortName(commit)} of {commit.StationName}{(commit.Line.Comment.Length > 0 ? ": " + commit.Line.Comment : "")}");
        foreach (var line in look.Notes)
        {
            Console.WriteLine("  not taken over: " + line);
        }

        if (look.Refused.Count > 0)
        {
            Console.WriteLine("  can't be taken, the rig can't be read with it:");
            foreach (var line in look.Refused)
            {
                Console.WriteLine("  " + line);
            }

            return;
        }

        Console.WriteLine(look.Changes.Count == 0 ? "  changes nothing" : "  changes:");
        foreach (var change in look.Changes)
        {
            Console.WriteLine("  " + change);
        }
    }

    private static object CommitAnswer(CommitSeen c) => new
    {
        c.Line.File, c.Line.Station, c.StationName, c.Line.Bytes, c.Line.Comment, c.Line.FileName,
    };

    private static async Task<bool> Agreed(CancellationToken stop)
    {
        if (Console.IsInputRedirected)
        {
            Tell.Note("there is no terminal to ask on; with --yes it is taken without asking");
            return false;
        }

        await Console.Error.WriteAsync("Take it? Type yes: ").ConfigureAwait(false);
        try
        {
            var answer = await Task.Run(Console.In.ReadLine, CancellationToken.None).WaitAsync(stop).ConfigureAwait(false);
            return string.Equals(answer?.Trim(), "yes", StringComparison.OrdinalIgnoreCase);
        }
        catch (OperationCanceledException)
        {
            return false;
        }
    }

    private static async Task Wait(TimeSpan length, Func<bool> over, CancellationToken stop)
    {
        var from = TimeProvider.System.GetTimestamp();
        try
        {
            while (!over() && (length == Timeout.InfiniteTimeSpan || TimeProvider.System.GetElapsedTime(from) < length))
            {
                await Task.Delay(s_lookEvery, stop).ConfigureAwait(false);
            }
        }
        catch (OperationCanceledException)
        {
            // Ctrl+C ends the waiting.
        }
    }
}
