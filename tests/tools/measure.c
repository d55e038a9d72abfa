/* measure COMMAND…: runs it a few times with its output thrown away and prints the least wall-clock time
 * in milliseconds and the greatest resident memory in KiB. Fails when a run does not end with status 0. */
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { RUNS = 25 };

static double now_ms(void)
{
	struct timespec t;
	clock_gettime(CLOCK_MONOTONIC, &t);
	return (double)t.tv_sec * 1e3 + (double)t.tv_nsec / 1e6;
}

int main(int argc, char **argv)
{
	double least = 1e12;
	long memory = 0;
	if (argc < 2)
		return 2;
	for (int i = 0; i < RUNS; i++) {
		struct rusage use;
		int status;
		double begin = now_ms();
		pid_t child = fork();
		if (child == 0) {
			int nowhere = open("/dev/null", O_RDWR);
			dup2(nowhere, 1);
			dup2(nowhere, 2);
			execv(argv[1], argv + 1);
			_exit(127);
		}
		if (child < 0 || wait4(child, &status, 0, &use) < 0 || !WIFEXITED(status) || WEXITSTATUS(status))
			return 1;
		double took = now_ms() - begin;
		least = took < least ? took : least;
		memory = use.ru_maxrss > memory ? use.ru_maxrss : memory;
	}
	printf("%.0f %ld\n", least, memory);
	return 0;
}
