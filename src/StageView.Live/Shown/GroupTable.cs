using System.Globalization;
using StageView.Ground.Words;
using StageView.Live.Night;
using StageView.Live.Terms;
using StageView.Show;
using StageView.Show.Exchange;
using StageView.Wire.Exchange;

namespace StageView.Live.Shown;

/// <summary>
/// The group that exchanges MVR files, where one was asked for: joined beside the show, tried again when that fails. What is taken is written beside the
/// rig file, which is followed anyway: the stage goes on with its levels and views.
/// </summary>
internal sealed class GroupTable : IDisposable
{
    private const int MostCommits = 30;
    private const int MostChanges = 60;
    private static readonly TimeSpan TryAgain = TimeSpan.FromSeconds(15);
    private static readonly TimeSpan LeaveTime = TimeSpan.FromSeconds(5);
    private readonly ExchangeRequest? _request;
    private readonly NightJournal _journal;
    private readonly TimeProvider _clock;
    private readonly Action _wake;
    private readonly CancellationTokenSource _stop = new();
    private readonly Lock _gate = new();
    private readonly Dictionary<Guid, (string State, string Words)> _of = [];
    private readonly Task _joining;
    private volatile ExchangeDesk? _desk;
    private volatile string? _trouble = "joining";

    public GroupTable(ExchangeRequest? request, NightJournal journal, TimeProvider clock, Action wake)
    {
        (_request, _journal, _clock, _wake) = (request, journal, clock, wake);
        _joining = request is null ? Task.CompletedTask : Task.Run(() => Join(request), CancellationToken.None);
    }

    /// <summary>For the page; null where no group was asked for.</summary>
    public GroupState? State => _request is null ? null : new GroupState(
        _request.Group, _request.Address, _request.Follow, _trouble,
        [.. (_desk?.Stations ?? []).Select(s => new GroupStation(s.Name, s.Provider, s.Address.ToString(), s.Trouble))],
        [.. (_desk?.Commits ?? []).Reverse().Take(MostCommits).Select(Line)]);

    /// <summary>Fetches a commit and tells what it would change.</summary>
    public Reply Look(string commit) => With(commit, "being looked at", async (desk, seen) =>
    {
        var look = await desk.Look(seen, _stop.Token).ConfigureAwait(false);
        return ("", look.Refused.Count > 0 ? "the rig can't be read with it: " + look.Refused[0] : "");
    });

    /// <summary>Takes a commit whose changes were told before.</summary>
    public Reply Take(string commit) => With(commit, "being taken", async (desk, seen) =>
    {
        if (desk.Known(seen) is null or { IsOld: true })
        {
            throw new StopException(StopKind.No, "what it changes was not looked at yet");
        }

        var look = await desk.Take(seen, _stop.Token).ConfigureAwait(false);
        Say($"{ExchangeDesk.ShortName(seen)} of {seen.StationName} is taken: {Counted.Of(look.Changes.Count, "change")}");
        return ("taken", "");
    });

    /// <summary>Commits the rig as it is saved.</summary>
    public Reply Commit(string words)
    {
        if (_desk is not { } desk)
        {
            return Reply.Refuse(_trouble ?? "no group was joined");
        }

        _ = Task.Run(async () =>
        {
            try
            {
                var (line, _) = await desk.Commit(words, _stop.Token).ConfigureAwait(false);
                Say(string.Create(CultureInfo.InvariantCulture, $"committed {line.File.ToString()[..8]}, {line.Bytes} bytes"));
            }
            catch (StopException e)
            {
                Say("could not commit: " + e.Message);
            }
            catch (OperationCanceledException)
            {
            }
        }, CancellationToken.None);
        return Reply.Done("committing");
    }

    public void Dispose()
    {
        _stop.Cancel();
        try
        {
            _joining.Wait(LeaveTime);
            _desk?.DisposeAsync().AsTask().Wait(LeaveTime);
        }
        catch (AggregateException)
        {
            // Who can't be told that we leave notices it.
        }
    }

    private async Task Join(ExchangeRequest request)
    {
        foreach (var line in ExchangeDesk.WhatIsSent(request.Group, request.Address))
        {
            Say(line);
        }

        while (!_stop.IsCancellationRequested)
        {
            try
            {
                var desk = await ExchangeDesk.Join(request, _clock, _stop.Token).ConfigureAwait(false);
                desk.Noted += Say;
                desk.Changed += _wake;
                desk.Followed += (seen, _) => Set(seen.Line.File, "taken", "");
                (_desk, _trouble) = (desk, null);
                Say($"joined \"{desk.Group}\" at {desk.Address}");
                return;
            }
            catch (StopException e)
            {
                if (_trouble != e.Message)
                {
                    Say(e.Message + "; tried again every few seconds");
                }

                _trouble = e.Message;
                await Task.Delay(TryAgain, _clock, _stop.Token).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            }
            catch (OperationCanceledException)
            {
                return;
            }
        }
    }

    private Reply With(string commit, string doing, Func<ExchangeDesk, CommitSeen, Task<(string State, string Words)>> work)
    {
        if (_desk is not { } desk)
        {
            return Reply.Refuse(_trouble ?? "no group was joined");
        }

        if (desk.Find(commit) is not { } seen)
        {
            return Reply.Refuse($"no commit is named {OneLine.Of(commit)}: it may have gone with its station");
        }

        Set(seen.Line.File, doing, "");
        _ = Task.Run(async () =>
        {
            try
            {
                var (state, words) = await work(desk, seen).ConfigureAwait(false);
                Set(seen.Line.File, state, words);
            }
            catch (StopException e)
            {
                Set(seen.Line.File, "", e.Message);
            }
            catch (OperationCanceledException)
            {
            }
        }, CancellationToken.None);
        return Reply.Done("");
    }

    private void Set(Guid commit, string state, string words)
    {
        lock (_gate)
        {
            _of[commit] = (state, words);
        }

        _wake();
    }

    private GroupCommit Line(CommitSeen seen)
    {
        (string State, string Words) of;
        lock (_gate)
        {
            of = _of.GetValueOrDefault(seen.Line.File, ("", ""));
        }

        var look = _desk?.Known(seen);
        if (of.State == "taken" && _desk?.Taken != seen.Line.File)
        {
            of.State = "taken before";
        }

        return new GroupCommit(
            ExchangeDesk.ShortName(seen), seen.StationName, seen.Line.Comment, seen.Line.Bytes, of.State, of.Words,
            look is { Refused.Count: 0, IsOld: false } ? [.. look.Changes.Take(MostChanges).Select(c => c.ToString())] : null,
            Math.Max(0, (look?.Changes.Count ?? 0) - MostChanges), [.. (look?.Notes ?? []).Take(MostChanges)]);
    }

    private void Say(string text)
    {
        _journal.Say("group", OneLine.Of(text));
        _wake();
    }
}
