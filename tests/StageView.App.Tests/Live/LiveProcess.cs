using System.Diagnostics;
using System.Text;
using System.Text.RegularExpressions;

namespace StageView.App.Tests.Live;

/// <summary>The real command, <c>stageview live</c>, in a process of its own.</summary>
internal sealed partial class LiveProcess : IAsyncDisposable
{
    private readonly Process _process;
    private readonly StringBuilder _said = new();
    private readonly TaskCompletionSource<Uri> _address = new();

    private LiveProcess(Process process) => _process = process;

    public Uri Address => _address.Task.Result;

    public int Id => _process.Id;

    public bool HasExited => _process.HasExited;

    public string Said
    {
        get
        {
            lock (_said)
            {
                return _said.ToString();
            }
        }
    }

    public static Task<LiveProcess> Start(string rig, IReadOnlyDictionary<string, string>? environment = null, params string[] more) =>
        Start([], rig, environment, more);

    /// <summary>The same in a network namespace.</summary>
    public static Task<LiveProcess> StartIn(string space, string rig, params string[] more) => Start(["ip", "netns", "exec", space], rig, null, more);

    private static async Task<LiveProcess> Start(string[] before, string rig, IReadOnlyDictionary<string, string>? environment, string[] more)
    {
        string[] words = [.. before, "dotnet"];
        var start = new ProcessStartInfo(words[0]) { RedirectStandardOutput = true, RedirectStandardError = true };
        foreach (var a in (string[])[.. words[1..], Path.Combine(AppContext.BaseDirectory, "stageview.dll"), "live", rig, "--port", "0", .. more])
        {
            start.ArgumentList.Add(a);
        }

        start.Environment.Remove("DISPLAY");
        start.Environment.Remove("WAYLAND_DISPLAY");
        foreach (var (name, value) in environment ?? new Dictionary<string, string>())
        {
            start.Environment[name] = value;
        }

        var live = new LiveProcess(Process.Start(start)!);
        live._process.OutputDataReceived += (_, e) => live.Heard(e.Data);
        live._process.ErrorDataReceived += (_, e) => live.Heard(e.Data);
        live._process.Exited += (_, _) => live._address.TrySetException(new InvalidOperationException("live ended: " + live.Said));
        live._process.EnableRaisingEvents = true;
        live._process.BeginOutputReadLine();
        live._process.BeginErrorReadLine();
        try
        {
            await live._address.Task.WaitAsync(TimeSpan.FromSeconds(120), TestContext.Current.CancellationToken);
            return live;
        }
        catch
        {
            // Left running, it would take the processor from all that comes after.
            await live.DisposeAsync();
            throw;
        }
    }

    /// <summary>Waits until a text was said, so many times.</summary>
    public async Task SaysWithin(string text, double seconds = 150, int times = 1)
    {
        var from = TimeProvider.System.GetTimestamp();
        while (TimeProvider.System.GetElapsedTime(from).TotalSeconds < seconds)
        {
            if (Said.Split(text).Length > times)
            {
                return;
            }

            await Task.Delay(50, TestContext.Current.CancellationToken);
        }

        Assert.Fail($"live never said '{text}', but:\n{Said}");
    }

    /// <summary>The drawing process, its only child; <c>/proc</c> lists it with the thread that started it.</summary>
    public int DrawingProcess() =>
        int.Parse(Directory.EnumerateDirectories($"/proc/{_process.Id}/task").SelectMany(ChildrenOf).First());

    public async ValueTask DisposeAsync()
    {
        if (!_process.HasExited)
        {
            using var term = Process.Start("kill", $"-TERM {_process.Id}");
            await term.WaitForExitAsync();
            using var patience = new CancellationTokenSource(TimeSpan.FromSeconds(8));
            try
            {
                await _process.WaitForExitAsync(patience.Token);
            }
            catch (OperationCanceledException)
            {
                _process.Kill(entireProcessTree: true);

                // Its folder is deleted next, and it may still be writing into it.
                await _process.WaitForExitAsync(CancellationToken.None);
            }
        }

        _process.Dispose();
    }

    private static string[] ChildrenOf(string thread)
    {
        try
        {
            return File.ReadAllText(Path.Combine(thread, "children")).Split(' ', StringSplitOptions.RemoveEmptyEntries);
        }
        catch (IOException)
        {
            // A thread of the pool may end between being listed and being read.
            return [];
        }
    }

    private void Heard(string? line)
    {
        if (line is null)
        {
            return;
        }

        lock (_said)
        {
            _said.Append(line).Append('\n');
        }

        if (PageLine().Match(line) is { Success: true } m)
        {
            _address.TrySetResult(new Uri(m.Groups[1].Value));
        }
    }

    [GeneratedRegex("the page is at (.*)$")]
    private static partial Regex PageLine();
}
