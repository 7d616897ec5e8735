using System.Net;
using StageView.Ground.Words;
using StageView.Rig.Mvr;
using StageView.Show.Rigs;
using StageView.Wire.Exchange;
using StageView.Wire.Sockets;

namespace StageView.Show.Exchange;

/// <summary>What is asked of an exchange.</summary>
public sealed record ExchangeRequest
{
    public required string RigFile { get; init; }

    public string? Venue { get; init; }

    /// <summary>Name of the group.</summary>
    public required string Group { get; init; }

    /// <summary>Local IPv4 address; the loopback's means this machine alone.</summary>
    public string Address { get; init; } = "127.0.0.1";

    /// <summary>Name that others show; of the rig where none is given.</summary>
    public string? StationName { get; init; }

    /// <summary>The drawing, where it isn't the usual one.</summary>
    public string? Drawing { get; init; }

    /// <summary>Whether each commit is taken as it comes.</summary>
    public bool Follow { get; init; }

    /// <summary>What joins: two programs may show one rig at once.</summary>
    public required string Role { get; init; }

    /// <summary>UDP port of multicast DNS, where it isn't the standard's; for tests beside other listeners.</summary>
    public int NamesPort { get; init; } = Wire.Names.MulticastNames.StandardPort;
}

/// <summary>
/// A rig in a group: what others commit is heard, brought in and compared with the rig when asked, and taken when told to, or as it comes where that was
/// asked for. One at a time.
/// </summary>
public sealed class ExchangeDesk : IAsyncDisposable
{
    private readonly ExchangeRequest _request;
    private readonly ExchangeStation _station;
    private readonly Drawing _drawing;
    private readonly SemaphoreSlim _one = new(1);
    private readonly Lock _gate = new();
    private readonly Dictionary<Guid, DrawingLook> _looked = [];
    private readonly CancellationTokenSource _stop = new();
    private Guid _taken;
    private Task _following = Task.CompletedTask;
    private CommitSeen? _next;

    private ExchangeDesk(ExchangeRequest request, ExchangeStation station, Drawing drawing)
    {
        _request = request;
        _station = station;
        _drawing = drawing;
        station.Changed += () => Changed?.Invoke();
        station.Noted += t => Noted?.Invoke(t);
        station.Committed += Heard;
    }

    public string Group => _station.Group;

    public IReadOnlyList<StationSeen> Stations => _station.Stations;

    /// <summary>In the order that they were heard of.</summary>
    public IReadOnlyList<CommitSeen> Commits => _station.Commits;

    public IPEndPoint Address => _station.Address;

    public Guid Station => _station.Id;

    /// <summary>The commit that was taken last, in this run; or empty.</summary>
    public Guid Taken
    {
        get
        {
            lock (_gate)
            {
                return _taken;
            }
        }
    }

    /// <summary>Told when stations, commits or what is known of them have become others.</summary>
    public event Action? Changed;

    /// <summary>Told what is heard and done, a line each.</summary>
    public event Action<string>? Noted;

    /// <summary>Told of a commit that was taken because the group is followed.</summary>
    public event Action<CommitSeen, DrawingLook>? Followed;

    /// <summary>What joining sends, to whom, in plain words.</summary>
    public static IReadOnlyList<string> WhatIsSent(string group, string address) =>
    [
        $"joins the group \"{group}\" at {address}{(IPAddress.TryParse(address, out var a) && IPAddress.IsLoopback(a) ? " (this machine alone)" : "")}: by "
        + "multicast DNS (UDP 5353, that interface alone) it tells that this station is there, with its name, identity and TCP port;",
        "to each station of the group it tells the comments, file names and sizes of what is committed here; a committed file goes to whoever in the group "
        + "asks.",
        "Nothing is encrypted, and anyone on that network can join: on a network that is not the show's own, don't.",
    ];

    /// <exception cref="StopException">It can't join; the message says what to do.</exception>
    public static async Task<ExchangeDesk> Join(ExchangeRequest request, TimeProvider clock, CancellationToken stop)
    {
        ArgumentNullException.ThrowIfNull(request);
        if (!IPAddress.TryParse(request.Address, out var address))
        {
            throw StopException.Wrong($"{request.Address} is no IP address: write the one that this machine has on the network of the group");
        }

        var drawing = new Drawing(request.RigFile, request.Venue, request.Drawing);
        drawing.Begin();
        var rig = RigFiles.Open(request.RigFile, request.Venue);
        if (request.Follow && !drawing.IsIn(rig))
        {
            throw StopException.Wrong(drawing.HowToInclude);
        }

        try
        {
            var station = await ExchangeStation.Join(
                new ExchangeOptions
                {
                    Group = request.Group,
                    StationName = request.StationName ?? rig.Name,
                    Station = StationIdentity.Of(request.RigFile, request.Role, out _),
                    Address = address,
                    NamesPort = request.NamesPort,
                },
                clock, stop).ConfigureAwait(false);
            return new ExchangeDesk(request, station, drawing);
        }
        catch (ListenException e)
        {
            throw StopException.Machine($"the group \"{request.Group}\" can't be joined: {e.Message}");
        }
    }

    /// <summary>The newest commit, or the one whose identity begins so.</summary>
    /// <param name="named"><c>last</c>, or the first characters of an identity.</param>
    public CommitSeen? Find(string named) => named == "last" ? (Commits is [.., var last] ? last : null)
        : Commits.Where(c => c.Line.File.ToString().StartsWith(named, StringComparison.OrdinalIgnoreCase)).ToList() is [var one] ? one : null;

    /// <summary>What a commit would change; known after <see cref="Look"/>.</summary>
    public DrawingLook? Known(CommitSeen commit)
    {
        ArgumentNullException.ThrowIfNull(commit);
        lock (_gate)
        {
            return _looked.GetValueOrDefault(commit.Line.File);
        }
    }

    /// <summary>Fetches a commit and compares the rig with it to the rig as it is. Nothing of the rig changes.</summary>
    /// <exception cref="StopException">It can't be had, or can't be used.</exception>
    public async Task<DrawingLook> Look(CommitSeen commit, CancellationToken stop)
    {
        ArgumentNullException.ThrowIfNull(commit);
        await _one.WaitAsync(stop).ConfigureAwait(false);
        try
        {
            var id = commit.Line.File;
            DrawingLook look;

            // What was shown is what is taken: a file is fetched once.
            if (Known(commit) is { } known && Directory.Exists(known.Folder))
            {
                look = _drawing.Look(known);
            }
            else
            {
                look = await Bring(commit, stop).ConfigureAwait(false);
            }

            lock (_gate)
            {
                _looked[id] = look;
            }

            Changed?.Invoke();
            return look;
        }
        finally
        {
            _one.Release();
        }
    }

    /// <summary>Makes a commit part of the rig; it is looked at first.</summary>
    /// <exception cref="StopException">It can't be had, or can't be used.</exception>
    public async Task<DrawingLook> Take(CommitSeen commit, CancellationToken stop)
    {
        // Compared anew: the rig may have become another since.
        var look = await Look(commit, stop).ConfigureAwait(false);
        _drawing.Take(look);
        lock (_gate)
        {
            _taken = commit.Line.File;
            foreach (var (id, other) in _looked.Where(l => l.Key != _taken).ToList())
            {
                _looked[id] = other with { IsOld = true };
            }
        }

        Changed?.Invoke();
        return look;
    }

    /// <summary>Commits the rig as it is: all of it, as <c>export</c> writes it.</summary>
    /// <returns>What was committed, and what of the rig isn't in it.</returns>
    /// <exception cref="StopException">The rig can't be read.</exception>
    public async Task<(CommitLine Line, IReadOnlyList<string> Notes)> Commit(string comment, CancellationToken stop)
    {
        var rig = RigFiles.Open(_request.RigFile, _request.Venue);
        using var memory = new MemoryStream();
        var notes = MvrExporter.Export(rig, memory);
        var name = Path.GetFileName(_request.RigFile).Split('.')[0] + ".mvr";
        return (await _station.Commit(memory.ToArray(), comment, name, stop).ConfigureAwait(false), notes);
    }

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync().ConfigureAwait(false);
        await _following.ConfigureAwait(false);
        await _station.DisposeAsync().ConfigureAwait(false);
        foreach (var look in _looked.Values)
        {
            _drawing.Drop(look);
        }

        _stop.Dispose();
        _one.Dispose();
    }

    private async Task<DrawingLook> Bring(CommitSeen commit, CancellationToken stop)
    {
        var part = _drawing.PlaceFor(commit.Line.File);
        try
        {
            await using (var to = new FileStream(part, FileMode.Create, FileAccess.Write))
            {
                await _station.Fetch(commit, to, stop).ConfigureAwait(false);
            }

            return _drawing.Look(part, commit.Line.File);
        }
        catch (Exception e) when (e is ExchangeException or IOException or UnauthorizedAccessException)
        {
            throw new StopException(StopKind.No, $"the commit of {commit.StationName} can't be had: {e.Message}");
        }
        finally
        {
            File.Delete(part);
        }
    }

    private void Heard(CommitSeen commit)
    {
        var bytes = Counted.Of(commit.Line.Bytes, "byte");
        Noted?.Invoke($"{commit.StationName} commits {ShortName(commit)} ({bytes}){(commit.Line.Comment.Length > 0 ? ": " + commit.Line.Comment : "")}");
        if (!_request.Follow)
        {
            return;
        }

        lock (_gate)
        {
            // Of several that come while one is taken, the newest is next.
            _next = commit;
            if (_following.IsCompleted)
            {
                _following = Task.Run(Follow, CancellationToken.None);
            }
        }
    }

    private async Task Follow()
    {
        while (true)
        {
            CommitSeen commit;
            lock (_gate)
            {
                if (_next is null)
                {
                    // Under the lock, so that the next one begins anew.
                    _following = Task.CompletedTask;
                    return;
                }

                (commit, _next) = (_next, null);
            }

            try
            {
                var look = await Take(commit, _stop.Token).ConfigureAwait(false);
                Noted?.Invoke($"{ShortName(commit)} of {commit.StationName} is taken: {Counted.Of(look.Changes.Count, "change")}");
                Followed?.Invoke(commit, look);
            }
            catch (StopException e)
            {
                Noted?.Invoke($"{ShortName(commit)} of {commit.StationName} is not taken: {e.Message}");
            }
            catch (OperationCanceledException)
            {
                return;
            }
        }
    }

    /// <summary>The first characters of a commit's identity, by which it can be named.</summary>
    public static string ShortName(CommitSeen commit)
    {
        ArgumentNullException.ThrowIfNull(commit);
        return commit.Line.File.ToString()[..8];
    }
}
