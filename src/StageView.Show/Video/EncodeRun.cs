using System.Diagnostics;

namespace StageView.Show.Video;

/// <summary>One running encoder. Finish it, or dispose of it to throw the piece away.</summary>
public sealed class EncodeRun : IDisposable
{
    private readonly Process _process;
    private readonly Task<string> _errors;
    private bool _ended;

    public EncodeRun(Process process)
    {
        _process = process;
        _errors = process.StandardError.ReadToEndAsync();
        _ = process.StandardOutput.ReadToEndAsync();
    }

    /// <exception cref="StopException">The encoder has ended; the message holds its last words.</exception>
    public async Task WriteAsync(ReadOnlyMemory<byte> frame, CancellationToken stop)
    {
        try
        {
            await _process.StandardInput.BaseStream.WriteAsync(frame, stop).ConfigureAwait(false);
        }
        catch (IOException)
        {
            await _process.WaitForExitAsync(stop).ConfigureAwait(false);
            throw Ffmpeg.Failed("ffmpeg", await _errors.ConfigureAwait(false));
        }
    }

    public async Task FinishAsync(CancellationToken stop)
    {
        try
        {
            _process.StandardInput.Close();
        }
        catch (IOException)
        {
            // The encoder has already ended: its exit code and words below say why.
        }

        await _process.WaitForExitAsync(stop).ConfigureAwait(false);
        _ended = true;
        if (_process.ExitCode != 0)
        {
            throw Ffmpeg.Failed("ffmpeg", await _errors.ConfigureAwait(false));
        }
    }

    public void Dispose()
    {
        if (!_ended && !_process.HasExited)
        {
            _process.Kill();
            _process.WaitForExit();
        }

        _process.Dispose();
    }
}
